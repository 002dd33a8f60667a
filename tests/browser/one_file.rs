//! Pages that are one file each, opened from disk: everything on them is there, nothing is asked for, and slow set-ups are
//! computed by a worker made from the page's own text.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use serde_json::json;

use super::command;
use super::page::{Checked, LAPTOP, Page};
use super::reader::Means;
use super::slow::{BENCH, LESSON, NUMBER, call, commit, reading, swing};

/// The folder of pages, written once by the command.
pub(crate) fn folder() -> &'static Path {
    static FOLDER: OnceLock<PathBuf> = OnceLock::new();
    FOLDER.get_or_init(|| {
        let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("browser/one-file");
        command::run([
            "build".as_ref(),
            "--single-file".as_ref(),
            "--lessons".as_ref(),
            "tests/browser/lessons".as_ref(),
            "--out".as_ref(),
            folder.as_os_str(),
        ])
        .expect("the pages are written");
        folder
    })
}

/// The address on disk of a page.
pub(super) fn address(name: &str) -> String {
    format!("file://{}", folder().join(name).display())
}

/// The beginning of what is said about the number: as many digits as the command gives.
pub(super) fn computed() -> String {
    let swing = swing("11 uA");
    let number = swing.split_whitespace().next().unwrap_or_default();
    format!("The computed value is {number}")
}

/// Opens the lesson from disk and waits until it is live.
async fn open(page: &Page) -> Checked {
    let address = tokio::task::spawn_blocking(|| address(&format!("{LESSON}.html"))).await?;
    page.client.goto(&address).await?;
    page.live().await
}

/// Opens the lesson with every part of it open.
async fn open_all(page: &Page) -> Checked {
    open(page).await?;
    call(
        page,
        "const blocks = {}; \
         for (const block of document.querySelectorAll('[data-island=predict]')) \
           blocks[block.dataset.blockId] = { committed: { answer: { choice: 'none' }, sure: 'guess', at: 1 } }; \
         localStorage.setItem('coldfringe.record', JSON.stringify({ version: 1, lessons: { 'slow-loop': { attempts: [{ id: 'opened', started: 1, blocks }] } } }));",
    )
    .await?;
    page.again().await
}

/// A reader predicts a number, a worker answers, a reload finds it kept; nothing but the file was ever asked for.
pub(crate) async fn works_from_disk(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    page.requests().await?;
    open(&page).await?;
    assert_eq!(
        page.value(
            "document.fonts.load('16px \"Coldfringe Math\"', '𝑥').then(fonts => fonts.map(font => font.status))"
        )
        .await?,
        json!(["loaded"]),
        "the letters of formulas are in the page"
    );
    page.tab_to(&format!("#{NUMBER} [data-role=number]"))
        .await?;
    page.write("12 uV").await?;
    commit(&page, Means::Drag, NUMBER).await?;
    let said = page.verdict(NUMBER).await?;
    assert!(said.contains(&computed()), "{said}");
    page.picture("one-file").await?;
    page.again().await?;
    assert_eq!(page.verdict(NUMBER).await?, said, "kept on disk's own page");
    page.assert_accessible("a lesson in one file").await?;
    open_all(&page).await?;
    assert_eq!(reading(&page).await?, swing("11 uA"));
    assert_eq!(
        page.value("document.documentElement.dataset.computes ?? 'behind'")
            .await?,
        json!("behind")
    );
    page.click("a[href$='-lecture.html']").await?;
    page.live().await?;
    for name in ["index", "slow-loop-worksheet", "slow-loop-solutions"] {
        page.client.goto(&address(&format!("{name}.html"))).await?;
        assert!(page.text("h1").await?.len() > 5, "{name}");
    }
    stays_on_disk(&page, folder()).await
}

/// Nothing but pages of this folder was asked for, and the console shows no error.
pub(super) async fn stays_on_disk(page: &Page, folder: &Path) -> Checked {
    let asked = page.requests().await?;
    let own = format!("file://{}", folder.display());
    assert!(
        asked.iter().all(
            |address| (address.starts_with(&own) && address.ends_with(".html"))
                || address.starts_with("blob:")
                || address.starts_with("data:")
        ),
        "{asked:?}"
    );
    has_no_complaint(page).await
}

async fn has_no_complaint(page: &Page) -> Checked {
    let complaints = page.complaints().await?;
    assert!(complaints.is_empty(), "{complaints:?}");
    Ok(())
}

/// Where the browser lets no worker start, or its start fails, the same text computes on the page's own thread; the page
/// says nothing of it and shows the same number.
pub(crate) async fn computes_without_a_worker(page: Page) -> Checked {
    page.window(LAPTOP).await?;
    for refusing in [
        "constructor() { throw new DOMException('denied', 'SecurityError'); }",
        "constructor() { setTimeout(() => this.onerror(new Event('error', { cancelable: true })), 50); } postMessage() {} terminate() {}",
        "constructor() { setTimeout(() => this.onmessage({ data: ['{\"lost\":\"no\"}'] }), 50); } postMessage() {} terminate() {}",
    ] {
        let made = page
            .browser(
                "Page.addScriptToEvaluateOnNewDocument",
                json!({ "source": format!("window.Worker = class {{ {refusing} }};") }),
            )
            .await?;
        open_all(&page).await?;
        assert_eq!(reading(&page).await?, swing("11 uA"), "{refusing}");
        assert_eq!(
            page.value("document.documentElement.dataset.computes")
                .await?,
            json!("here"),
            "{refusing}"
        );
        // Another question while it works: the older one makes way.
        page.type_at_bench(BENCH, 0, "9").await?;
        page.until(&format!(
            "document.querySelector('#{BENCH} [data-role=readings] dd').textContent === {}",
            json!(swing("9 uA"))
        ))
        .await?;
        has_no_complaint(&page).await?;
        page.browser(
            "Page.removeScriptToEvaluateOnNewDocument",
            json!({ "identifier": made["identifier"] }),
        )
        .await?;
    }
    Ok(())
}

/// The page's policy lets no other script run and nothing be asked for; without storage the page says that it keeps nothing.
pub(crate) async fn runs_nothing_but_its_own_text(page: Page) -> Checked {
    page.browser(
        "Page.addScriptToEvaluateOnNewDocument",
        json!({ "source": "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('denied', 'SecurityError'); } });" }),
    )
    .await?;
    open(&page).await?;
    assert!(page.text("#trouble").await?.contains("keeps nothing"));
    let refused = page
        .client
        .execute_async(
            "const done = arguments[0]; const refused = new Set(); \
             document.addEventListener('securitypolicyviolation', event => refused.add(event.effectiveDirective)); \
             const add = (name, parts) => document.body.append(Object.assign(document.createElement(name), parts)); \
             add('script', { textContent: 'window.foreign = 1' }); \
             add('style', { textContent: 'body { color: red }' }); \
             add('img', { src: 'https://coldfringe.invalid/x.png' }); \
             fetch('https://coldfringe.invalid/').catch(() => {}); \
             setTimeout(() => done([window.foreign ?? null, [...refused].sort()]), 300);",
            vec![],
        )
        .await?;
    assert_eq!(
        refused,
        json!([
            null,
            [
                "connect-src",
                "img-src",
                "script-src-elem",
                "style-src-elem"
            ]
        ])
    );
    // The console rightly shows what was refused.
    page.complaints().await?;
    Ok(())
}
