//! `CommonMark` to HTML. HTML in the source does not pass; formulas become `MathML`; links lead
//! within the site or to web addresses, nowhere else.

use pulldown_cmark::{Alignment, CodeBlockKind, CowStr, Event, Parser, Tag, TagEnd};

use super::html::escape;
use super::math::mathml;
use crate::lesson::text::prose::{LinkKind, link_kind, options};

/// A text as HTML blocks.
#[must_use]
pub fn prose(text: &str) -> String {
    let mut writer = Writer::default();
    for event in Parser::new_ext(text, options()) {
        writer.event(event);
    }
    writer.out
}

/// A text as HTML within a line: a single paragraph loses its `p`.
#[must_use]
pub fn phrase(text: &str) -> String {
    let html = prose(text);
    let inner = html
        .strip_prefix("<p>")
        .and_then(|rest| rest.strip_suffix("</p>\n"))
        .filter(|inner| !inner.contains("<p>"))
        .map(str::to_owned);
    inner.unwrap_or_else(|| escape(text))
}

#[derive(Debug, Default)]
struct Writer {
    out: String,
    alignments: Vec<Alignment>,
    cell: usize,
    in_head: bool,
    /// For each open link, whether it was written.
    links: Vec<bool>,
}

impl Writer {
    fn event(&mut self, event: Event<'_>) {
        match event {
            Event::Start(tag) => self.start(tag),
            Event::End(tag) => self.end(tag),
            Event::Text(text) | Event::Html(text) | Event::InlineHtml(text) => {
                self.out.push_str(&escape(&text));
            }
            Event::Code(text) => {
                self.out.push_str("<code>");
                self.out.push_str(&escape(&text));
                self.out.push_str("</code>");
            }
            Event::InlineMath(tex) => self.out.push_str(&mathml(&tex, false)),
            Event::DisplayMath(tex) => self.out.push_str(&mathml(&tex, true)),
            Event::SoftBreak => self.out.push('\n'),
            Event::HardBreak => self.out.push_str("<br>\n"),
            Event::Rule => self.out.push_str("<hr>\n"),
            // Extensions that are not switched on.
            Event::FootnoteReference(_) | Event::TaskListMarker(_) => {}
        }
    }

    fn start(&mut self, tag: Tag<'_>) {
        match tag {
            Tag::Paragraph => self.out.push_str("<p>"),
            // Levels 1 and 2 belong to the page; a mistake there is told and shown one lower.
            Tag::Heading { level, .. } => {
                self.out.push_str(&format!("<h{}>", (level as u8).max(3)));
            }
            Tag::BlockQuote(_) => self.out.push_str("<blockquote>\n"),
            Tag::CodeBlock(kind) => self.code_block(&kind),
            Tag::List(None) => self.out.push_str("<ul>\n"),
            Tag::List(Some(1)) => self.out.push_str("<ol>\n"),
            Tag::List(Some(start)) => self.out.push_str(&format!("<ol start=\"{start}\">\n")),
            Tag::Item => self.out.push_str("<li>"),
            Tag::Table(alignments) => {
                self.alignments = alignments;
                self.out.push_str("<div class=\"table-scroller\" role=\"group\" aria-label=\"Table\" tabindex=\"0\"><table>\n");
            }
            Tag::TableHead => {
                self.in_head = true;
                self.cell = 0;
                self.out.push_str("<thead><tr>");
            }
            Tag::TableRow => {
                self.cell = 0;
                self.out.push_str("<tr>");
            }
            Tag::TableCell => self.cell(),
            Tag::Emphasis => self.out.push_str("<em>"),
            Tag::Strong => self.out.push_str("<strong>"),
            Tag::Link { dest_url, .. } => self.link(&dest_url),
            _ => {}
        }
    }

    fn end(&mut self, tag: TagEnd) {
        match tag {
            TagEnd::Paragraph => self.out.push_str("</p>\n"),
            TagEnd::Heading(level) => {
                self.out
                    .push_str(&format!("</h{}>\n", (level as u8).max(3)));
            }
            TagEnd::BlockQuote(_) => self.out.push_str("</blockquote>\n"),
            TagEnd::CodeBlock => self.out.push_str("</code></pre>\n"),
            TagEnd::List(false) => self.out.push_str("</ul>\n"),
            TagEnd::List(true) => self.out.push_str("</ol>\n"),
            TagEnd::Item => self.out.push_str("</li>\n"),
            TagEnd::Table => self.out.push_str("</tbody></table></div>\n"),
            TagEnd::TableHead => {
                self.in_head = false;
                self.out.push_str("</tr></thead><tbody>\n");
            }
            TagEnd::TableRow => self.out.push_str("</tr>\n"),
            TagEnd::TableCell => {
                self.out
                    .push_str(if self.in_head { "</th>" } else { "</td>" });
            }
            TagEnd::Emphasis => self.out.push_str("</em>"),
            TagEnd::Strong => self.out.push_str("</strong>"),
            TagEnd::Link if self.links.pop() == Some(true) => self.out.push_str("</a>"),
            _ => {}
        }
    }

    fn code_block(&mut self, kind: &CodeBlockKind<'_>) {
        let word = match kind {
            CodeBlockKind::Fenced(info) => info.split_whitespace().next().unwrap_or_default(),
            CodeBlockKind::Indented => "",
        };
        // A wide line scrolls, so the keyboard must reach it.
        if word.is_empty() {
            self.out.push_str("<pre tabindex=\"0\"><code>");
        } else {
            self.out.push_str(&format!(
                "<pre tabindex=\"0\"><code class=\"language-{}\">",
                escape(word)
            ));
        }
    }

    fn cell(&mut self) {
        let class = match self.alignments.get(self.cell) {
            Some(Alignment::Right) => " class=\"right\"",
            Some(Alignment::Center) => " class=\"centre\"",
            _ => "",
        };
        self.cell += 1;
        if self.in_head {
            self.out.push_str(&format!("<th scope=\"col\"{class}>"));
        } else {
            self.out.push_str(&format!("<td{class}>"));
        }
    }

    fn link(&mut self, target: &CowStr<'_>) {
        let href = match link_kind(target) {
            LinkKind::Web | LinkKind::Step => Some(target.to_string()),
            // The file is named, so that the page also works without a server.
            LinkKind::Lesson { slug, step } => Some(format!("../{slug}/index.html{step}")),
            LinkKind::Nowhere => None,
        };
        self.links.push(href.is_some());
        if let Some(href) = href {
            self.out
                .push_str(&format!("<a href=\"{}\">", escape(&href)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{phrase, prose};

    #[test]
    fn html_does_not_pass_and_bad_links_become_text() {
        let html =
            prose("So <script>x</script> [a](javascript:x) [b](../two-slits/#why) [c](#why)");
        assert!(!html.contains("<script"), "{html}");
        assert!(!html.contains("javascript"), "{html}");
        assert!(
            html.contains("<a href=\"../two-slits/index.html#why\">b</a>"),
            "{html}"
        );
        assert!(html.contains("<a href=\"#why\">c</a>"), "{html}");
    }

    #[test]
    fn tables_have_scopes_and_no_inline_style() {
        let html = prose("| a | b |\n|---|--:|\n| 1 | 2 |\n");
        assert!(
            html.contains("<th scope=\"col\" class=\"right\">b</th>"),
            "{html}"
        );
        assert!(!html.contains("style="), "{html}");
    }

    #[test]
    fn a_phrase_is_one_line() {
        assert_eq!(phrase("a *b*"), "a <em>b</em>");
        assert_eq!(phrase("- a"), "- a", "a block is shown as written");
    }
}
