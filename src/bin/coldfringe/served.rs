//! The files that the site serves as they are written. A folder whose name ends in `.css` holds the
//! pieces of one style sheet: they are put together in the order of their names, so that a page asks
//! for one file.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use anyhow::{Context as _, Result};

/// The files to be served from a folder, by their path from there.
///
/// # Errors
/// When a file or folder cannot be read.
pub(crate) fn files(folder: &Path) -> Result<BTreeMap<String, Vec<u8>>> {
    Ok(put_together(files_under(folder)?))
}

/// The same with the pieces of each style sheet, which are sorted by name, in one file.
fn put_together(files: Vec<(String, Vec<u8>)>) -> BTreeMap<String, Vec<u8>> {
    let mut whole: BTreeMap<String, Vec<u8>> = BTreeMap::new();
    for (place, bytes) in files {
        let sheet = place.find(".css/").map(|at| at + ".css".len());
        let name = sheet.and_then(|end| place.get(..end)).unwrap_or(&place);
        let file = whole.entry(name.to_owned()).or_default();
        if !file.is_empty() {
            file.push(b'\n');
        }
        file.extend(bytes);
    }
    whole
}

/// Every file under a folder by its path from there with `/`, hidden ones left out.
fn files_under(folder: &Path) -> Result<Vec<(String, Vec<u8>)>> {
    let mut found = Vec::new();
    let mut waiting = vec![(folder.to_path_buf(), String::new())];
    while let Some((here, prefix)) = waiting.pop() {
        let entries = fs::read_dir(&here).with_context(|| {
            format!(
                "cannot read the folder `{}`; run from the project's folder or name it",
                here.display()
            )
        })?;
        for entry in entries {
            let entry = entry.with_context(|| format!("cannot read `{}`", here.display()))?;
            let name = entry.file_name().to_string_lossy().into_owned();
            if name.starts_with('.') {
                continue;
            }
            let path = entry.path();
            let place = format!("{prefix}{name}");
            if path.is_dir() {
                waiting.push((path, format!("{place}/")));
            } else {
                let bytes =
                    fs::read(&path).with_context(|| format!("cannot read `{}`", path.display()))?;
                found.push((place, bytes));
            }
        }
    }
    found.sort();
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::put_together;

    #[test]
    fn the_pieces_of_a_style_sheet_come_as_one_in_their_order() {
        let files = [
            ("page.css/1-words.css", "p {}\n"),
            ("page.css/2-print.css", "q {}\n"),
            ("start.js", "go();\n"),
        ];
        let whole = put_together(
            files
                .map(|(name, text)| (name.to_owned(), text.as_bytes().to_vec()))
                .to_vec(),
        );
        assert_eq!(whole.len(), 2);
        assert_eq!(whole["page.css"], b"p {}\n\nq {}\n");
        assert_eq!(whole["start.js"], b"go();\n");
    }
}
