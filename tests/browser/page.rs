//! One browser session with a fresh profile, steered in a person's terms.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use fantoccini::elements::Element;
use fantoccini::{Client, ClientBuilder, Locator};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

use super::protocol::{BrowserCall, TakeLog};

/// What a check returns; the error says what was expected and what came.
pub(crate) type Checked = Result<(), Box<dyn std::error::Error + Send + Sync>>;

/// How long to wait for something to appear.
const PATIENCE: Duration = Duration::from_secs(20);

/// A window's size and kind.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Window {
    /// Width in CSS pixels.
    pub(crate) width: u32,
    /// Height in CSS pixels.
    pub(crate) height: u32,
    /// Device pixels per CSS pixel.
    pub(crate) scale: f64,
    /// Whether it is a telephone, with touch and without a mouse.
    pub(crate) mobile: bool,
}

/// The projector in a lecture hall.
pub(crate) const PROJECTOR: Window = Window {
    width: 1920,
    height: 1080,
    scale: 1.0,
    mobile: false,
};
/// The lessons whose states are looked at one by one.
pub(crate) const LESSONS: &[&str] = &[
    "one-slit",
    "two-slits",
    "the-loop-answers-back",
    "the-screened-loop",
];

/// A laptop.
pub(crate) const LAPTOP: Window = Window {
    width: 1280,
    height: 800,
    scale: 1.0,
    mobile: false,
};
/// A telephone.
pub(crate) const TELEPHONE: Window = Window {
    width: 390,
    height: 844,
    scale: 3.0,
    mobile: true,
};
/// The narrowest window in which a page must still read without scrolling sideways.
pub(crate) const NARROWEST: Window = Window {
    width: 320,
    height: 640,
    scale: 1.0,
    mobile: false,
};

/// A browser session. Cloning gives another handle on the same one.
#[derive(Debug, Clone)]
pub(crate) struct Page {
    /// The session, for what this type does not offer.
    pub(crate) client: Client,
    home: String,
    pictures: PathBuf,
}

impl Page {
    /// Opens a browser with an empty profile in `profile`.
    pub(crate) async fn open(
        driver: &str,
        home: &str,
        profile: &Path,
        pictures: &Path,
    ) -> Result<Page, Box<dyn std::error::Error + Send + Sync>> {
        let file = concat!(env!("CARGO_MANIFEST_DIR"), "/webdriver.json");
        let text = std::fs::read_to_string(file).expect("webdriver.json");
        let mut wishes: serde_json::Map<String, Value> =
            serde_json::from_str(&text).expect("webdriver.json is JSON");
        let options = wishes["goog:chromeOptions"]
            .as_object_mut()
            .expect("options for the browser");
        let arguments = options["args"]
            .as_array_mut()
            .expect("arguments for the browser");
        arguments.push(json!(format!("--user-data-dir={}", profile.display())));
        // No bars that appear and vanish: a picture is the same each time.
        arguments.push(json!("--hide-scrollbars"));
        wishes.insert(
            "goog:loggingPrefs".into(),
            json!({ "browser": "ALL", "performance": "ALL" }),
        );
        let client = ClientBuilder::new(HttpConnector::new())
            .capabilities(wishes)
            .connect(driver)
            .await?;
        let page = Page {
            client,
            home: home.to_owned(),
            pictures: pictures.to_owned(),
        };
        // Away from the browser's own first page, which asks for things of its own and takes no emulation along.
        page.visit_empty().await?;
        Ok(page)
    }

    /// Leaves the notebook for an empty page.
    pub(crate) async fn visit_empty(&self) -> Checked {
        self.client.goto("about:blank").await?;
        Ok(())
    }

    /// Opens a page by its path from the contents page, without waiting for the script.
    pub(crate) async fn visit(&self, path: &str) -> Checked {
        self.client.goto(&format!("{}{path}", self.home)).await?;
        Ok(())
    }

    /// Opens a page by its path and waits until the script has made it live.
    pub(crate) async fn open_live(&self, path: &str) -> Checked {
        self.visit(path).await?;
        self.live().await
    }

    /// Waits until the script has made the page live: its root says so.
    pub(crate) async fn live(&self) -> Checked {
        self.until("document.documentElement.dataset.state === 'ready'")
            .await
    }

    /// Waits until an expression is true in the page.
    pub(crate) async fn until(&self, expression: &str) -> Checked {
        let start = Instant::now();
        loop {
            if self.value(expression).await? == json!(true) {
                return Ok(());
            }
            if start.elapsed() > PATIENCE {
                return Err(format!("after {PATIENCE:?} still not so: {expression}").into());
            }
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }

    /// The value of an expression in the page.
    pub(crate) async fn value(
        &self,
        expression: &str,
    ) -> Result<Value, fantoccini::error::CmdError> {
        self.client
            .execute(&format!("return ({expression});"), vec![])
            .await
    }

    /// The first element that a CSS selector names, waited for.
    pub(crate) async fn element(
        &self,
        selector: &str,
    ) -> Result<Element, Box<dyn std::error::Error + Send + Sync>> {
        self.client
            .wait()
            .at_most(PATIENCE)
            .for_element(Locator::Css(selector))
            .await
            .map_err(|error| format!("no element {selector}: {error}").into())
    }

    /// How many elements a CSS selector names now.
    pub(crate) async fn count(&self, selector: &str) -> Result<usize, fantoccini::error::CmdError> {
        Ok(self.client.find_all(Locator::Css(selector)).await?.len())
    }

    /// The visible text of an element.
    pub(crate) async fn text(
        &self,
        selector: &str,
    ) -> Result<String, Box<dyn std::error::Error + Send + Sync>> {
        Ok(self.element(selector).await?.text().await?)
    }

    /// Clicks an element.
    pub(crate) async fn click(&self, selector: &str) -> Checked {
        let element = self.element(selector).await?;
        element
            .click()
            .await
            .map_err(|error| format!("{selector} cannot be clicked: {error}"))?;
        Ok(())
    }

    /// Calls the browser's own protocol.
    pub(crate) async fn browser(
        &self,
        method: &'static str,
        parameters: Value,
    ) -> Result<Value, fantoccini::error::CmdError> {
        self.client
            .issue_cmd(BrowserCall { method, parameters })
            .await
    }

    /// Shows the page as in this window.
    pub(crate) async fn window(&self, window: Window) -> Checked {
        let size = json!({
            "width": window.width,
            "height": window.height,
            "deviceScaleFactor": window.scale,
            "mobile": window.mobile,
        });
        self.browser("Emulation.setDeviceMetricsOverride", size)
            .await?;
        self.browser(
            "Emulation.setTouchEmulationEnabled",
            json!({ "enabled": window.mobile }),
        )
        .await?;
        Ok(())
    }

    /// Sets what the reader's system asks of pages: pairs such as `("prefers-reduced-motion", "reduce")`.
    pub(crate) async fn preferences(&self, features: &[(&str, &str)]) -> Checked {
        let features: Vec<Value> = features
            .iter()
            .map(|(name, value)| json!({ "name": name, "value": value }))
            .collect();
        self.browser(
            "Emulation.setEmulatedMedia",
            json!({ "features": features }),
        )
        .await?;
        Ok(())
    }

    /// Makes the processor this many times slower.
    pub(crate) async fn slower(&self, times: f64) -> Checked {
        self.browser("Emulation.setCPUThrottlingRate", json!({ "rate": times }))
            .await?;
        Ok(())
    }

    /// Switches the page's script off or on, from the next page on.
    pub(crate) async fn script_allowed(&self, allowed: bool) -> Checked {
        self.browser(
            "Emulation.setScriptExecutionDisabled",
            json!({ "value": !allowed }),
        )
        .await?;
        Ok(())
    }

    /// Takes a picture of the window, kept as `NAME.png`.
    pub(crate) async fn picture(&self, name: &str) -> Checked {
        let bytes = self.client.screenshot().await?;
        std::fs::write(self.pictures.join(format!("{name}.png")), bytes)?;
        Ok(())
    }

    /// The addresses that pages asked for since the last call, each once; not those of the browser's own pages.
    pub(crate) async fn requests(&self) -> Result<BTreeSet<String>, fantoccini::error::CmdError> {
        let log = self
            .client
            .issue_cmd(TakeLog {
                kind: "performance",
            })
            .await?;
        Ok(log
            .as_array()
            .into_iter()
            .flatten()
            .filter_map(|entry| serde_json::from_str::<Value>(entry["message"].as_str()?).ok())
            .filter(|event| event["message"]["method"] == "Network.requestWillBeSent")
            .filter_map(|event| {
                Some(
                    event["message"]["params"]["request"]["url"]
                        .as_str()?
                        .to_owned(),
                )
            })
            .filter(|address| !address.starts_with("chrome"))
            .collect())
    }

    /// The errors and warnings that the console has shown since the last call.
    pub(crate) async fn complaints(&self) -> Result<Vec<String>, fantoccini::error::CmdError> {
        let log = self.client.issue_cmd(TakeLog { kind: "browser" }).await?;
        Ok(log
            .as_array()
            .into_iter()
            .flatten()
            .filter(|entry| entry["level"] == "SEVERE" || entry["level"] == "WARNING")
            .filter_map(|entry| Some(entry["message"].as_str()?.to_owned()))
            .collect())
    }

    /// Everything the page keeps in the browser's local storage.
    pub(crate) async fn stored(
        &self,
    ) -> Result<BTreeMap<String, String>, Box<dyn std::error::Error + Send + Sync>> {
        Ok(serde_json::from_value(
            self.value("Object.fromEntries(Object.entries(localStorage))")
                .await?,
        )?)
    }

    /// Puts a text into the browser's local storage.
    pub(crate) async fn store(&self, key: &str, value: &str) -> Checked {
        self.client
            .execute(
                "localStorage.setItem(arguments[0], arguments[1]);",
                vec![json!(key), json!(value)],
            )
            .await?;
        Ok(())
    }

    /// The address of the contents page.
    pub(crate) fn home(&self) -> &str {
        &self.home
    }
}
