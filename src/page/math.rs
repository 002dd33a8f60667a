//! TeX to `MathML`, with the TeX kept as an annotation.

use pulldown_latex::config::DisplayMode;
use pulldown_latex::{Parser, RenderConfig, Storage, push_mathml};

use super::html::escape;
use crate::lesson::text::formula::formula_error;

/// The formula as a `math` element. One that cannot be read is shown as written; `lessons check`
/// tells where it is.
#[must_use]
pub fn mathml(tex: &str, display: bool) -> String {
    if formula_error(tex).is_some() {
        return as_written(tex);
    }
    let annotation = escape(tex);
    let config = RenderConfig {
        display_mode: if display {
            DisplayMode::Block
        } else {
            DisplayMode::Inline
        },
        annotation: Some(&annotation),
        ..RenderConfig::default()
    };
    let storage = Storage::new();
    let mut out = String::new();
    match push_mathml(&mut out, Parser::new(tex, &storage), config) {
        Ok(()) => well_formed(&out),
        Err(_) => as_written(tex),
    }
}

fn as_written(tex: &str) -> String {
    format!("<code class=\"formula\">{}</code>", escape(tex))
}

/// Mends what the writer leaves: a bare `<` or `&` inside an operator, and inline styles, which
/// the page's content security policy forbids.
fn well_formed(mathml: &str) -> String {
    let mut out = String::with_capacity(mathml.len());
    let mut rest = mathml;
    while let Some(at) = rest.find(['<', '&']) {
        let (before, from) = rest.split_at(at);
        out.push_str(before);
        let next = from.chars().nth(1);
        if let Some(after) = from.strip_prefix('&') {
            let entity = after.split_once(';').is_some_and(|(name, _)| {
                !name.is_empty() && name.chars().all(|c| c.is_alphanumeric() || c == '#')
            });
            out.push_str(if entity { "&" } else { "&amp;" });
            rest = after;
        } else if next.is_some_and(|next| next.is_ascii_alphabetic() || next == '/') {
            let end = from.find('>').map_or(from.len(), |end| end + 1);
            out.push_str(&without_style(&from[..end]));
            rest = &from[end..];
        } else {
            out.push_str("&lt;");
            rest = &from[1..];
        }
    }
    out.push_str(rest);
    out
}

/// A tag without its `style` attribute.
fn without_style(tag: &str) -> String {
    let Some(start) = tag.find(" style=\"") else {
        return tag.to_owned();
    };
    let value = start + " style=\"".len();
    match tag[value..].find('"') {
        Some(end) => format!("{}{}", &tag[..start], &tag[value + end + 1..]),
        None => tag.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::mathml;

    #[test]
    fn comparison_signs_are_escaped_and_the_tex_is_kept() {
        let html = mathml(r"a < b", false);
        assert!(html.contains("<mo>&lt;</mo>"), "{html}");
        assert!(
            html.contains(r#"<annotation encoding="application/x-tex">a &lt; b</annotation>"#),
            "{html}"
        );
    }

    #[test]
    fn no_inline_style_is_left() {
        let html = mathml(
            r"\color{red} a \! b \begin{aligned} x &= 1 \\[4pt] y &= 2 \end{aligned}",
            true,
        );
        assert!(!html.contains("style="), "{html}");
        assert!(html.contains("<mtable"), "{html}");
    }

    #[test]
    fn a_bad_formula_is_shown_as_written() {
        assert_eq!(
            mathml(r"\frac{<", false),
            r#"<code class="formula">\frac{&lt;</code>"#
        );
    }
}
