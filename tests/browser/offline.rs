//! The hosted site without a network: what was opened opens again, and work goes on; another build takes the place of the
//! one that was kept.

use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use axum::Router;
use axum::extract::State;
use axum::http::{StatusCode, Uri, header};
use axum::response::IntoResponse;
use serde_json::json;
use sha2::{Digest, Sha256};
use tokio::sync::oneshot;
use tokio::task::JoinHandle;

use super::command;
use super::homework::{Key, answer, say_who, stands};
use super::page::{Checked, LAPTOP, Page};
use super::reader::{Means, Or};

/// The page that is opened, one with a set-up that is computed in the background.
const PAGE: &str = "homework/sensor-design.html";

/// The site as `coldfringe build` writes it, built once.
pub(crate) fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser/offline");
        command::run(["build".as_ref(), "--out".as_ref(), folder.as_os_str()])
            .expect("the site is written");
        folder
    })
}

/// What a host serves: a folder, but for the files that another build has otherwise.
#[derive(Debug, Clone)]
struct Hosted {
    folder: &'static Path,
    others: Vec<(String, Vec<u8>)>,
}

async fn file(State(hosted): State<Hosted>, uri: Uri) -> impl IntoResponse {
    let path = uri.path().trim_start_matches('/');
    let name = if path.is_empty() || path.ends_with('/') {
        format!("{path}index.html")
    } else {
        path.to_owned()
    };
    let kind = match name.rsplit('.').next() {
        Some("html") => "text/html",
        Some("js") => "text/javascript",
        Some("css") => "text/css",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        _ => "application/octet-stream",
    };
    let other = hosted.others.iter().find(|(other, _)| *other == name);
    let bytes = match other {
        Some((_, bytes)) => Some(bytes.clone()),
        None => std::fs::read(hosted.folder.join(&name)).ok(),
    };
    match bytes {
        Some(bytes) => Ok(([(header::CONTENT_TYPE, kind)], bytes)),
        None => Err(StatusCode::NOT_FOUND),
    }
}

/// A host that can be unplugged.
struct Host {
    address: SocketAddr,
    stop: oneshot::Sender<()>,
    served: JoinHandle<std::io::Result<()>>,
}

impl Host {
    async fn start(address: SocketAddr, others: Vec<(String, Vec<u8>)>) -> Or<Self> {
        let folder = tokio::task::spawn_blocking(folder).await?;
        let listener = tokio::net::TcpListener::bind(address).await?;
        let address = listener.local_addr()?;
        let router = Router::new()
            .fallback(file)
            .with_state(Hosted { folder, others });
        let (stop, stopped) = oneshot::channel();
        let served = axum::serve(listener, router).with_graceful_shutdown(async {
            let _ = stopped.await;
        });
        let served = tokio::spawn(async move { served.await });
        Ok(Self {
            address,
            stop,
            served,
        })
    }

    /// Ends the server and every connection to it.
    async fn unplug(self) -> Or<SocketAddr> {
        let _ = self.stop.send(());
        self.served.await??;
        Ok(self.address)
    }
}

async fn open(page: &Page, address: SocketAddr, path: &str) -> Checked {
    page.client
        .goto(&format!("http://{address}/{path}"))
        .await?;
    page.live().await
}

/// Waits until files are kept whose names begin so.
async fn keeps(page: &Page, begins: &[&str]) -> Checked {
    page.until(&format!(
        "(async () => {{ \
           const names = await caches.keys(); \
           const kept = names.length === 1 ? await (await caches.open(names[0])).keys() : []; \
           return {}.every((begins) => kept.some((request) => new URL(request.url).pathname.startsWith('/' + begins))); \
         }})()",
        json!(begins)
    ))
    .await
}

/// The first digits of a file's digest, as the site's keeper writes them.
fn digits(bytes: &[u8]) -> String {
    let digest = Sha256::digest(bytes);
    digest[..8]
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}

/// A build in which a page reads otherwise: that page, and the keeper that knows it.
fn another_build(path: &str) -> Or<Vec<(String, Vec<u8>)>> {
    let before = std::fs::read(folder().join(path))?;
    let mut after = before.clone();
    after.extend_from_slice(b"<!-- another build -->\n");
    let keeper = std::fs::read_to_string(folder().join("sw.js"))?;
    let edition = keeper
        .lines()
        .find(|line| line.starts_with("const EDITION"))
        .ok_or("no edition")?;
    let keeper = keeper
        .replace(&digits(&before), &digits(&after))
        .replace(edition, "const EDITION = \"another\";");
    Ok(vec![
        (path.to_owned(), after),
        ("sw.js".to_owned(), keeper.into_bytes()),
    ])
}

/// An assignment is begun, the host goes away, and after a reload the work goes on, in the background too. Then a new build
/// comes, and nothing of the old one stays.
pub(crate) async fn a_site_opens_again_without_a_network(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.still().await?;
    let host = Host::start(SocketAddr::from(([127, 0, 0, 1], 0)), Vec::new()).await?;
    open(&page, host.address, PAGE).await?;
    say_who(&page, "ab-17").await?;
    let key = Key::new("sensor-design", "ab-17");
    answer(&page, "sensor-design-shunt", &key.number("shunt", 1.0)).await?;
    let draft = "#sensor-design-thermal-rounding [data-role=number]";
    page.retype(draft, "0.0421").await?;
    keeps(
        &page,
        &[
            PAGE,
            "assets/style.css",
            "assets/workbook.css",
            "assets/start.js",
            "assets/offline.js",
            "assets/coldfringe-homework-",
            "assets/worker.js",
            "assets/coldfringe-worker-",
        ],
    )
    .await?;
    let heavy = page
        .value(
            "(async () => { const kept = await (await caches.open((await caches.keys())[0])).keys(); \
             return kept.map((request) => request.url).filter((url) => url.includes('/lessons/') || /coldfringe-[0-9a-f]+\\./.test(url)); })()",
        )
        .await?;
    assert_eq!(
        heavy,
        json!([]),
        "nothing is kept that this page does not use"
    );

    let address = host.unplug().await?;
    open(&page, address, PAGE).await?;
    stands(&page, "1 of 6 done").await?;
    let typed = page
        .value(&format!("document.querySelector('{draft}').value"))
        .await?;
    assert_eq!(typed, json!("0.0421"));
    // This is computed by a worker that comes from the shelf like all else.
    let block = "sensor-design-working-flux";
    page.slide(
        Means::Drag,
        &format!("#{block} [data-role=mark]"),
        0.25,
        0.02,
    )
    .await?;
    page.commit_as(Means::Drag, block, "guess").await?;
    stands(&page, "2 of 6 done").await?;
    // A page that nobody opened is not there: the browser says so, by an error or on a page of its own.
    let unopened = format!("http://{address}/homework/slits.html");
    if page.client.goto(&unopened).await.is_ok() {
        let main = page
            .value("document.querySelector('main') !== null")
            .await?;
        assert_eq!(main, json!(false), "a page was kept that nobody opened");
    }

    let host = Host::start(address, another_build(PAGE)?).await?;
    open(&page, address, PAGE).await?;
    page.until("(async () => (await caches.keys()).every((name) => name.endsWith(' another')))()")
        .await?;
    keeps(&page, &[PAGE, "assets/coldfringe-homework-"]).await?;
    let address = host.unplug().await?;
    open(&page, address, PAGE).await?;
    stands(&page, "2 of 6 done").await?;
    let last = page
        .value("[...document.childNodes].some((node) => node.data === ' another build ')")
        .await?;
    assert_eq!(last, json!(true), "the page of the newest build is kept");
    Ok(())
}
