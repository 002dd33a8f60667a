//! Mistakes as words for a terminal.

use annotate_snippets::{AnnotationKind, Level, Renderer, Snippet, renderer::DecorStyle};

use super::diagnostic::Diagnostic;

/// The mistakes of one file, each with its line shown, what is wrong and how to mend it.
/// `colour` asks for terminal colours.
#[must_use]
pub fn report(source: &str, file: &str, diagnostics: &[Diagnostic], colour: bool) -> String {
    let renderer = if colour {
        Renderer::styled()
    } else {
        Renderer::plain()
    }
    .decor_style(DecorStyle::Ascii);
    let mut out = String::new();
    for diagnostic in diagnostics {
        let span = visible(source, diagnostic);
        let group = Level::ERROR
            .primary_title(diagnostic.message.as_str())
            .id(diagnostic.mistake.code())
            .element(
                Snippet::source(source)
                    .path(file)
                    .annotation(AnnotationKind::Primary.span(span)),
            )
            .element(Level::HELP.message(diagnostic.mend.as_str()));
        out.push_str(&renderer.render(&[group]));
        out.push_str("\n\n");
    }
    out
}

/// The mistakes of one file, one line each: `file:line:column: what. Mend: how [code]`.
#[must_use]
pub fn short_report(file: &str, diagnostics: &[Diagnostic]) -> String {
    diagnostics
        .iter()
        .map(|diagnostic| {
            format!(
                "{file}:{}:{}: {} Mend: {} [{}]\n",
                diagnostic.line,
                diagnostic.column,
                sentence(&diagnostic.message),
                sentence(&diagnostic.mend),
                diagnostic.mistake.code()
            )
        })
        .collect()
}

/// Text that ends like a sentence.
fn sentence(text: &str) -> String {
    if text.ends_with(['.', '?', '!']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// What to underline: the span, cut to its first line so that a long block is not shown whole.
fn visible(source: &str, diagnostic: &Diagnostic) -> std::ops::Range<usize> {
    let span = diagnostic.span.clone();
    match source.get(span.clone()).and_then(|text| text.find('\n')) {
        Some(end) => span.start..span.start + end,
        None => span,
    }
}
