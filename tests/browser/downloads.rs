//! Files that the browser saves.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde_json::json;

use super::page::Page;
use super::reader::Or;

/// A folder for the files of a check, empty.
pub(crate) async fn folder(page: &Page, name: &str) -> Or<PathBuf> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("browser")
        .join(format!("{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder)?;
    page.browser(
        "Browser.setDownloadBehavior",
        json!({ "behavior": "allow", "downloadPath": folder.display().to_string() }),
    )
    .await?;
    Ok(folder)
}

/// A file in it, once it is there as a whole, which `is_whole` tells.
pub(crate) async fn file(folder: &Path, name: &str, is_whole: fn(&[u8]) -> bool) -> Or<Vec<u8>> {
    let path = folder.join(name);
    let start = Instant::now();
    while start.elapsed() < Duration::from_secs(20) {
        if let Ok(bytes) = std::fs::read(&path)
            && is_whole(&bytes)
        {
            return Ok(bytes);
        }
        tokio::time::sleep(Duration::from_millis(30)).await;
    }
    let there: Vec<_> = std::fs::read_dir(folder)?
        .filter_map(|entry| Some(entry.ok()?.file_name()))
        .collect();
    Err(format!("{name} did not come; there are {there:?}").into())
}
