//! What every page has around its content: head, policy, skip link, navigation, footer.

use super::html::escape;
use super::islands;

/// What the pages may load and do: nothing but the site's own files. The same words go into the
/// page and, when the command serves it, into a header.
pub const POLICY: &str = "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; \
     style-src 'self'; img-src 'self' data: blob:; connect-src 'self'; worker-src 'self'; \
     manifest-src 'self'; font-src 'self'; base-uri 'none'; form-action 'none'";

/// The header of a page that stands alone.
pub(crate) const ALONE: &str = "<p>coldfringe, a teaching notebook</p>";

/// Names of the files that a page loads, all in `assets/`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Assets {
    /// The script that calls the model, and the model; none when the site is built without them
    /// and stays reading matter.
    pub bundle: Option<Bundle>,
    /// The same for the pages of assignments, where they have another.
    pub homework: Option<Bundle>,
    /// A further script, e.g. the one that reloads the page while a lesson is written.
    pub extra_script: Option<String>,
    /// Whether a page stands alone, without the site around it: then it offers no way to other
    /// pages.
    pub alone: bool,
}

/// The two files of the compiled model; their names carry a digest of their content.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bundle {
    /// The script module.
    pub script: String,
    /// The WebAssembly.
    pub wasm: String,
    /// The part that computes slow set-ups in the background: the name of its two files without
    /// their endings. Only pages that need it fetch it.
    pub worker: String,
}

/// A whole page.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Shell<'a> {
    /// The page's title.
    pub(crate) title: &'a str,
    /// One sentence about it.
    pub(crate) summary: &'a str,
    /// The way to the root of the site: empty, or `../../`.
    pub(crate) root: &'a str,
    /// Its files.
    pub(crate) assets: &'a Assets,
    /// Whether something on it is computed in the background.
    pub(crate) has_slow: bool,
    /// The style sheets that it has beside the one of all pages.
    pub(crate) sheets: &'a [&'a str],
    /// The identifier of its main element, where the skip link leads.
    pub(crate) main: &'a str,
    /// HTML of the links in the header.
    pub(crate) header: &'a str,
    /// HTML of the main element.
    pub(crate) body: &'a str,
    /// HTML of the links in the footer.
    pub(crate) footer: &'a str,
}

impl Shell<'_> {
    /// The page as HTML.
    pub(crate) fn page(&self) -> String {
        format!(
            "<!DOCTYPE html>\n\
             <html lang=\"en\" {version}=\"{number}\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta http-equiv=\"Content-Security-Policy\" content=\"{POLICY}\">\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
             <title>{title}</title>\n<meta name=\"description\" content=\"{summary}\">\n\
             {files}</head>\n<body>\n\
             <a class=\"skip\" href=\"#{main}\">Skip to the text</a>\n\
             <p id=\"trouble\" role=\"alert\" hidden></p>\n\
             <header class=\"page\">{header}</header>\n{body}\
             <footer class=\"page\">{footer}<p>coldfringe computes every curve when it is asked \
             for, from the physics. <span data-role=\"kept-where\">Your work stays in this \
             browser.</span></p></footer>\n\
             </body>\n</html>\n",
            version = islands::VERSION_ATTRIBUTE,
            number = islands::VERSION,
            title = escape(self.title),
            summary = escape(self.summary),
            files = self.files(),
            main = escape(self.main),
            header = self.header,
            body = self.body,
            footer = self.footer,
        )
    }

    /// The elements that name the page's files.
    fn files(&self) -> String {
        let assets = format!("{}assets/", escape(self.root));
        let mut html = format!(
            "<link rel=\"stylesheet\" href=\"{assets}style.css\">\n\
             <link rel=\"icon\" href=\"{assets}icon.svg\" type=\"image/svg+xml\">\n"
        );
        for sheet in self.sheets {
            html.push_str(&format!(
                "<link rel=\"stylesheet\" href=\"{assets}{sheet}\">\n"
            ));
        }
        if let Some(bundle) = &self.assets.bundle {
            // The start-up script finds the two files by these marks; it comes first, so that what
            // stands after a prediction is never seen before it is shut.
            html.push_str(&format!(
                "<script src=\"{assets}start.js\"></script>\n\
                 <link rel=\"modulepreload\" href=\"{assets}{script}\" data-glue>\n\
                 <link rel=\"preload\" as=\"fetch\" type=\"application/wasm\" \
                 crossorigin=\"anonymous\" href=\"{assets}{wasm}\" data-wasm>\n",
                script = escape(&bundle.script),
                wasm = escape(&bundle.wasm),
            ));
            if self.has_slow {
                html.push_str(&format!(
                    "<meta name=\"{name}\" content=\"{assets}worker.js?bundle={worker}\">\n",
                    name = islands::WORKER,
                    worker = escape(&bundle.worker),
                ));
            }
        }
        if let Some(script) = &self.assets.extra_script {
            html.push_str(&format!(
                "<script src=\"{assets}{}\" defer></script>\n",
                escape(script)
            ));
        }
        html
    }
}
