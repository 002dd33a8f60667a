#![cfg(not(target_arch = "wasm32"))]
//! `coldfringe pack` and `coldfringe build --single-file`, as a teacher runs them: what is in the packages, that two runs
//! give the same bytes, and that pages in one file need nothing beside them. Without the compiled model, so that no compiler
//! for the browser is needed; the browser checks have packages with it.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

#[path = "packing/content_model.rs"]
mod content_model;

use std::collections::{BTreeMap, BTreeSet};
use std::io::{Cursor, Read as _};
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use content_model::fits_the_content_model;
use roxmltree::{Document, Node};
use zip::ZipArchive;

fn coldfringe(arguments: &[&str], out: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_coldfringe"))
        .args(arguments)
        .arg("--out")
        .arg(out)
        .output()
        .unwrap()
}

/// A folder of this test alone, not there yet.
fn place(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR"))
        .join(format!("packing-{name}-{}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    folder
}

/// Every file of a folder by its name, but for the mark.
fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| !path.file_name().unwrap().to_string_lossy().starts_with('.'))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(path).unwrap())
        })
        .collect()
}

/// The packages of the course.
fn packed(version: &str, name: &str) -> BTreeMap<String, Vec<u8>> {
    let out = place(name);
    let done = coldfringe(&["pack", "--scorm", version, "--without-model"], &out);
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let packages = files(&out);
    std::fs::remove_dir_all(&out).unwrap();
    packages
}

/// The slugs of the files of a folder of the project.
fn slugs(folder: &str) -> Vec<String> {
    std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "md"))
        .map(|path| path.file_stem().unwrap().to_string_lossy().into_owned())
        .collect()
}

fn only<'a>(of: Node<'a, 'a>, name: &str) -> Node<'a, 'a> {
    let found: Vec<_> = of
        .descendants()
        .filter(|node| node.is_element() && node.tag_name().name() == name)
        .collect();
    assert_eq!(found.len(), 1, "{name}");
    found[0]
}

#[test]
fn a_package_holds_what_its_manifest_lists_and_nothing_else() {
    // Namespaces and names as in packages of either version that are in use; from memory.
    for (version, schema, contents, own, kind) in [
        (
            "1.2",
            "1.2",
            "http://www.imsproject.org/xsd/imscp_rootv1p1p2",
            "http://www.adlnet.org/xsd/adlcp_rootv1p2",
            "scormtype",
        ),
        (
            "2004",
            "2004 3rd Edition",
            "http://www.imsglobal.org/xsd/imscp_v1p1",
            "http://www.adlnet.org/xsd/adlcp_v1p3",
            "scormType",
        ),
    ] {
        let packages = packed(version, &format!("manifest-{version}"));
        let mut wanted: BTreeSet<String> = slugs("lessons")
            .iter()
            .map(|slug| format!("{slug}.zip"))
            .collect();
        wanted.extend(
            slugs("lessons/homework")
                .iter()
                .map(|slug| format!("homework-{slug}.zip")),
        );
        assert_eq!(packages.keys().cloned().collect::<BTreeSet<_>>(), wanted);
        let mut identifiers = BTreeSet::new();
        for (name, bytes) in packages {
            let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
            let there: BTreeSet<String> = archive.file_names().map(str::to_owned).collect();
            let mut text = String::new();
            let mut entry = archive
                .by_name("imsmanifest.xml")
                .expect("a manifest at the root");
            entry.read_to_string(&mut text).unwrap();
            drop(entry);
            let document = Document::parse(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
            let root = document.root_element();
            assert_eq!(root.tag_name().namespace(), Some(contents));
            assert_eq!(root.tag_name().name(), "manifest");
            fits_the_content_model(root, (own, kind));
            assert_eq!(only(root, "schema").text(), Some("ADL SCORM"));
            assert_eq!(only(root, "schemaversion").text(), Some(schema));
            let (organization, item) = (only(root, "organization"), only(root, "item"));
            assert_eq!(
                only(root, "organizations").attribute("default"),
                organization.attribute("identifier")
            );
            let resource = only(root, "resource");
            assert_eq!(
                item.attribute("identifierref"),
                resource.attribute("identifier")
            );
            assert_eq!(resource.attribute("type"), Some("webcontent"));
            // Without the model the page cannot speak with the system, and says so.
            assert_eq!(resource.attribute((own, kind)), Some("asset"));
            let listed: BTreeSet<String> = resource
                .children()
                .filter(|node| node.tag_name().name() == "file")
                .map(|node| node.attribute("href").unwrap().to_owned())
                .collect();
            assert!(listed.contains(resource.attribute("href").unwrap()));
            let mut all = listed;
            all.insert("imsmanifest.xml".to_owned());
            assert_eq!(all, there, "{name}");
            for node in root.descendants() {
                if let Some(identifier) = node.attribute("identifier") {
                    assert!(identifier.starts_with(|first: char| first.is_ascii_alphabetic()));
                    assert!(
                        identifier
                            .bytes()
                            .all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
                    );
                    assert!(
                        identifiers.insert(identifier.to_owned()),
                        "{identifier} twice"
                    );
                }
            }
            let titles: BTreeSet<_> = root
                .descendants()
                .filter(|node| node.tag_name().name() == "title")
                .map(|node| node.text().unwrap())
                .collect();
            let mut page = String::new();
            archive
                .by_name("index.html")
                .unwrap()
                .read_to_string(&mut page)
                .unwrap();
            assert_eq!(titles.len(), 1);
            for title in titles {
                let title = coldfringe::page::html::escape(title);
                assert!(
                    page.contains(&format!("<h1>{title}</h1>")),
                    "{name}: {title}"
                );
            }
            stands_alone(&name, &page);
        }
    }
}

/// A page that names no file and leads to no other page.
fn stands_alone(name: &str, page: &str) {
    for mark in [
        " src=\"",
        "@import",
        "url(fonts",
        "url(\"fonts",
        "http://",
        "https://",
    ] {
        for (at, _) in page.match_indices(mark) {
            let text: String = page[at..].chars().take(80).collect();
            assert!(
                text.starts_with(" src=\"data:") || text.contains("://www.w3.org/"),
                "{name}: {text}"
            );
        }
    }
    for reference in page.split(" href=\"").skip(1) {
        assert!(
            reference.starts_with('#') || reference.starts_with("data:"),
            "{name}: {}",
            reference.chars().take(60).collect::<String>()
        );
    }
}

#[test]
fn two_runs_give_the_same_bytes() {
    let (first, second) = (packed("1.2", "first"), packed("1.2", "second"));
    assert!(first.len() > 10);
    assert!(
        first == second,
        "a package depends on when or where it was made"
    );
}

#[test]
fn single_files_lead_to_each_other_and_to_nothing_else() {
    let out = place("single");
    let lessons = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/browser/lessons");
    let done = coldfringe(
        &[
            "build",
            "--single-file",
            "--without-model",
            "--lessons",
            lessons.to_str().unwrap(),
        ],
        &out,
    );
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    let pages = files(&out);
    std::fs::remove_dir_all(&out).unwrap();
    for name in [
        "index.html",
        "slow-loop.html",
        "slow-loop-lecture.html",
        "slow-loop-worksheet.html",
    ] {
        assert!(pages.contains_key(name), "{name}");
    }
    for (name, bytes) in &pages {
        let page = std::str::from_utf8(bytes).unwrap();
        assert!(
            name.ends_with(".html") && !page.contains("<link rel=\"stylesheet\""),
            "{name}"
        );
        for reference in page.split(" href=\"").skip(1) {
            let reference = reference.split('"').next().unwrap();
            let target = reference.split('#').next().unwrap();
            assert!(
                target.is_empty() || target.starts_with("data:") || pages.contains_key(target),
                "{name}: {}",
                &reference[..reference.len().min(60)]
            );
        }
    }
}

#[test]
fn what_is_wrong_is_named_and_nothing_is_written() {
    let out = place("wrong");
    let refused = |arguments: &[&str], parts: &[&str]| {
        let done = coldfringe(arguments, &out);
        let said = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(!done.status.success(), "{arguments:?}");
        for part in parts {
            assert!(said.contains(part), "\"{said}\" lacks \"{part}\"");
        }
    };
    refused(&["pack", "--scorm", "1.3"], &["1.3", "1.2", "2004"]);
    refused(
        &["pack", "--scorm", "1.2", "--lessons", "no-such-folder"],
        &["no-such-folder"],
    );
    assert!(!out.exists());
    // A folder with other things in it is not touched.
    std::fs::create_dir_all(&out).unwrap();
    std::fs::write(out.join("mine.txt"), "mine").unwrap();
    refused(
        &["pack", "--scorm", "1.2", "--without-model"],
        &["choose an empty folder"],
    );
    assert_eq!(files(&out).len(), 1);
    std::fs::remove_dir_all(&out).unwrap();
}
