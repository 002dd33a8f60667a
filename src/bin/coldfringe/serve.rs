//! `coldfringe serve`: the site on the loopback address.

use std::collections::BTreeMap;
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, SystemTime};

use anyhow::{Context as _, Result};
use axum::Router;
use axum::extract::{RawQuery, State};
use axum::http::{HeaderName, HeaderValue, StatusCode, Uri, header};
use axum::response::{IntoResponse, Redirect, Response};
use axum::routing::get;
use clap::Args;
use coldfringe::page::shell::POLICY;
use tokio::net::TcpListener;
use tokio::sync::watch;

use crate::bundle::Form;
use crate::say;
use crate::site::{Model, Site, Sources, counted};
use crate::texts::Texts;

/// How often `--watch` looks for changes.
const LOOK: Duration = Duration::from_millis(400);
/// How long a page waits for news before it asks again.
const PATIENCE: Duration = Duration::from_secs(20);

/// Arguments of `serve`.
#[derive(Debug, Args)]
pub(crate) struct Options {
    /// Port on the loopback address; 0 takes any free one.
    #[arg(long, value_name = "N", default_value_t = 7717)]
    port: u16,
    /// Rebuild when a lesson or a style changes, and reload the page.
    #[arg(long)]
    watch: bool,
    #[command(flatten)]
    sources: Sources,
}

/// Serves the site until it is interrupted.
///
/// # Errors
/// When the port is taken or a folder cannot be read.
pub(crate) fn execute(options: Options) -> Result<()> {
    tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .context("cannot start the server's threads")?
        .block_on(options.serve())
}

impl Options {
    async fn serve(self) -> Result<()> {
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, self.port));
        // The port first: a taken one should not cost a build.
        let listener = TcpListener::bind(address).await.map_err(|error| {
            if error.kind() == std::io::ErrorKind::AddrInUse {
                anyhow::anyhow!(
                    "port {} is in use; choose another with `--port N`, or end the other program",
                    self.port
                )
            } else {
                anyhow::anyhow!("cannot listen on {address}: {error}")
            }
        })?;
        let model = self.sources.model(Form::Module)?;
        let site = self.make(&model)?;
        let address = listener
            .local_addr()
            .context("cannot tell the server's own address")?;
        let (sender, receiver) = watch::channel(Edition {
            number: 1,
            site: Arc::new(site),
        });
        let app = Router::new()
            .route("/changes", get(changes))
            .fallback(get(file))
            .with_state(receiver);
        say::line(&format!("the notebook is at http://{address}/"));
        say::line("end with Ctrl-C");
        let server = axum::serve(listener, app).with_graceful_shutdown(interrupted());
        if self.watch {
            let watcher = tokio::spawn(self.follow(model, sender));
            let served = server.await;
            watcher.abort();
            served.context("the server stopped")
        } else {
            // The sender stays alive as long as the server.
            let served = server.await;
            drop(sender);
            served.context("the server stopped")
        }
    }

    /// Reads the lessons and makes the site. Mistakes are told, and the site is made all the same.
    fn make(&self, model: &Model) -> Result<Site> {
        let texts = Texts::read(&self.sources)?;
        if texts.mistakes > 0 {
            say::trouble(&format!(
                "{} in the lessons; a block with a mistake is shown as a placeholder",
                counted(texts.mistakes, "mistake")
            ));
        }
        let mut more = model.files.clone();
        let mut assets = model.assets();
        if self.watch {
            assets.extra_script = Some("reload.js".to_owned());
            more.push((
                "reload.js".to_owned(),
                include_bytes!("serve/reload.js").to_vec(),
            ));
        }
        Site::make(
            &texts.course,
            &texts.homework,
            &self.sources.www()?,
            self.sources.notes().as_deref(),
            &assets,
            &more,
        )
    }

    /// Makes the site anew whenever its sources change.
    async fn follow(self, model: Model, sender: watch::Sender<Edition>) {
        let mut seen = self.stamps();
        loop {
            tokio::time::sleep(LOOK).await;
            let now = self.stamps();
            if now == seen {
                continue;
            }
            seen = now;
            match self.make(&model) {
                Ok(site) => {
                    sender.send_modify(|edition| {
                        edition.number += 1;
                        edition.site = Arc::new(site);
                    });
                    say::line("rebuilt");
                }
                Err(error) => say::trouble(&format!("error: {error:#}")),
            }
        }
    }

    /// When each source file was changed last.
    fn stamps(&self) -> BTreeMap<String, (Option<SystemTime>, u64)> {
        let mut stamps = BTreeMap::new();
        let notes = self.sources.notes();
        for folder in [self.sources.lessons(), self.sources.www()]
            .into_iter()
            .flatten()
            .chain(notes)
        {
            stamp(&folder, 0, &mut stamps);
        }
        stamps
    }
}

fn stamp(folder: &Path, depth: usize, stamps: &mut BTreeMap<String, (Option<SystemTime>, u64)>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for entry in entries.flatten() {
        let path = entry.path();
        if path.is_dir() && depth < 8 {
            stamp(&path, depth + 1, stamps);
        } else if let Ok(about) = entry.metadata() {
            stamps.insert(
                path.display().to_string(),
                (about.modified().ok(), about.len()),
            );
        }
    }
}

/// Ends when the user interrupts the command.
async fn interrupted() {
    if tokio::signal::ctrl_c().await.is_err() {
        // Without a signal to wait for, the server runs until it is killed.
        std::future::pending::<()>().await;
    }
}

/// The site as it is now.
#[derive(Debug, Clone)]
struct Edition {
    number: u64,
    site: Arc<Site>,
}

/// Answers with the number of the edition as soon as it differs from the one the page knows.
async fn changes(
    RawQuery(query): RawQuery,
    State(mut editions): State<watch::Receiver<Edition>>,
) -> Response {
    let known: Option<u64> = query
        .as_deref()
        .and_then(|query| query.strip_prefix("after="))
        .and_then(|number| number.parse().ok());
    if known == Some(editions.borrow().number) {
        let _late = tokio::time::timeout(
            PATIENCE,
            editions.wait_for(|edition| Some(edition.number) != known),
        )
        .await;
    }
    let number = editions.borrow().number.to_string();
    with_headers(
        StatusCode::OK,
        "text/plain; charset=utf-8",
        number.into_bytes(),
    )
}

/// Answers with a file of the site.
async fn file(uri: Uri, State(editions): State<watch::Receiver<Edition>>) -> Response {
    let site = Arc::clone(&editions.borrow().site);
    let path = uri.path().trim_start_matches('/');
    let wanted = if path.is_empty() || path.ends_with('/') {
        format!("{path}index.html")
    } else {
        path.to_owned()
    };
    let (all, name) = (Arc::clone(&site), wanted.clone());
    // A sheet on paper may be computed now, which the server's own threads must not wait for.
    let found = tokio::task::spawn_blocking(move || all.file(&name)).await;
    if let Ok(Some(bytes)) = found {
        return with_headers(StatusCode::OK, media_type(&wanted), bytes);
    }
    if site.files.contains_key(&format!("{path}/index.html")) {
        return Redirect::permanent(&format!("/{path}/")).into_response();
    }
    with_headers(
        StatusCode::NOT_FOUND,
        "text/plain; charset=utf-8",
        b"There is no such page in the notebook.\n".to_vec(),
    )
}

fn with_headers(status: StatusCode, media_type: &'static str, bytes: Vec<u8>) -> Response {
    let mut response = (status, bytes).into_response();
    let headers = response.headers_mut();
    for (name, value) in [
        (header::CONTENT_TYPE, media_type),
        (header::CONTENT_SECURITY_POLICY, POLICY),
        (header::CACHE_CONTROL, "no-store"),
        (header::X_CONTENT_TYPE_OPTIONS, "nosniff"),
        (header::REFERRER_POLICY, "no-referrer"),
        (HeaderName::from_static("x-frame-options"), "DENY"),
    ] {
        headers.insert(name, HeaderValue::from_static(value));
    }
    response
}

/// The media type of a file, by the end of its name.
fn media_type(path: &str) -> &'static str {
    match path.rsplit('.').next().unwrap_or_default() {
        "html" => "text/html; charset=utf-8",
        "css" => "text/css; charset=utf-8",
        "js" => "text/javascript; charset=utf-8",
        "wasm" => "application/wasm",
        "json" => "application/json",
        "webmanifest" => "application/manifest+json",
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "woff2" => "font/woff2",
        "txt" | "md" => "text/plain; charset=utf-8",
        _ => "application/octet-stream",
    }
}
