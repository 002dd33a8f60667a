//! Commands that the driver knows beyond the common standard: the browser's own protocol and its logs.

use fantoccini::wd::WebDriverCompatibleCommand;
use http::Method;
use serde_json::{Value, json};
use url::{ParseError, Url};

/// A call of the browser's own protocol, such as `Emulation.setCPUThrottlingRate`.
#[derive(Debug)]
pub(crate) struct BrowserCall {
    /// The name of the method.
    pub(crate) method: &'static str,
    /// Its parameters.
    pub(crate) parameters: Value,
}

impl WebDriverCompatibleCommand for BrowserCall {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        in_session(base, session, "goog/cdp/execute")
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        let body = json!({ "cmd": self.method, "params": self.parameters });
        (Method::POST, Some(body.to_string()))
    }
}

/// Takes what a log has gathered since it was last taken.
#[derive(Debug)]
pub(crate) struct TakeLog {
    /// `browser` for the console, `performance` for the network.
    pub(crate) kind: &'static str,
}

impl WebDriverCompatibleCommand for TakeLog {
    fn endpoint(&self, base: &Url, session: Option<&str>) -> Result<Url, ParseError> {
        in_session(base, session, "se/log")
    }

    fn method_and_body(&self, _: &Url) -> (Method, Option<String>) {
        (Method::POST, Some(json!({ "type": self.kind }).to_string()))
    }
}

fn in_session(base: &Url, session: Option<&str>, command: &str) -> Result<Url, ParseError> {
    base.join(&format!(
        "session/{}/{command}",
        session.unwrap_or_default()
    ))
}
