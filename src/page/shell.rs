//! What every page has around its content: head, policy, skip link, navigation, footer.

use super::html::escape;
use super::islands;

/// What the pages may load and do: nothing but the site's own files. The same words go into the
/// page and, when the command serves it, into a header.
pub const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
     style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; \
     manifest-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'";

/// Names of the files that a page loads, all in `assets/`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Assets {
    /// The script that calls the model, and the model; none when the site is built without them
    /// and stays reading matter.
    pub bundle: Option<Bundle>,
    /// A further script, e.g. the one that reloads the page while a lesson is written.
    pub extra_script: Option<String>,
}

/// The two files of the compiled model; their names carry a digest of their content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bundle {
    /// The script module.
    pub script: String,
    /// The WebAssembly.
    pub wasm: String,
}

/// A whole page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Shell<'a> {
    /// The page's title.
    pub(super) title: &'a str,
    /// One sentence about it.
    pub(super) summary: &'a str,
    /// The way to the root of the site: empty, or `../../`.
    pub(super) root: &'a str,
    /// Its files.
    pub(super) assets: &'a Assets,
    /// The identifier of its main element, where the skip link leads.
    pub(super) main: &'a str,
    /// HTML of the top: what stands before the main element.
    pub(super) top: &'a str,
    /// HTML of the main element and what follows it.
    pub(super) body: &'a str,
}

impl Shell<'_> {
    /// The page as HTML.
    pub(super) fn page(&self) -> String {
        let root = escape(self.root);
        let bundle = self
            .assets
            .bundle
            .as_ref()
            .map_or_else(String::new, |bundle| {
                format!(
                    " data-module=\"{}\" data-wasm=\"{}\"",
                    escape(&bundle.script),
                    escape(&bundle.wasm)
                )
            });
        let extra = self
            .assets
            .extra_script
            .as_ref()
            .map_or_else(String::new, |script| {
                format!(
                    "<script src=\"{root}assets/{}\" defer></script>\n",
                    escape(script)
                )
            });
        format!(
            "<!DOCTYPE html>\n\
             <html lang=\"en\" {version}=\"{number}\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <title>{title}</title>\n<meta name=\"description\" content=\"{summary}\">\n\
             <link rel=\"stylesheet\" href=\"{root}assets/style.css\">\n\
             <link rel=\"icon\" href=\"{root}assets/icon.svg\" type=\"image/svg+xml\">\n\
             <script src=\"{root}assets/start.js\"{bundle}></script>\n{extra}</head>\n<body>\n\
             <a class=\"skip\" href=\"#{main}\">Skip to the text</a>\n\
             <header class=\"site\">{top}</header>\n{body}\
             <footer class=\"site\"><p>coldfringe: every curve is computed by the model when it is \
             asked for.</p></footer>\n</body>\n</html>\n",
            version = islands::VERSION_ATTRIBUTE,
            number = islands::VERSION,
            policy = escape(POLICY),
            title = escape(self.title),
            summary = escape(self.summary),
            main = escape(self.main),
            top = self.top,
            body = self.body,
        )
    }
}
