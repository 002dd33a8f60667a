//! The pages of the real lessons: well formed, nothing given away, every link leads somewhere.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use std::collections::{BTreeMap, BTreeSet};

use coldfringe::lesson::spec::{Block, Lesson, Part, SetupSpec};
use coldfringe::lesson::text::course::read_course;
use coldfringe::page::contents::contents_page;
use coldfringe::page::islands;
use coldfringe::page::lecture::lecture_page;
use coldfringe::page::lesson::{Neighbour, lesson_page};
use coldfringe::page::notes::notes_page;
use coldfringe::page::screens::{Content, screens};
use coldfringe::page::shell::{Assets, Bundle};
use coldfringe::sheet::{solutions_page, worksheet_page};
use coldfringe::workbook;
use course::lessons;

fn assets() -> Assets {
    Assets {
        bundle: Some(Bundle {
            script: "coldfringe-0.js".to_owned(),
            wasm: "coldfringe-0.wasm".to_owned(),
            worker: "coldfringe-worker-0".to_owned(),
        }),
        ..Assets::default()
    }
}

/// Every page by its path from the site's root. Some hold curves that take their time.
fn pages() -> &'static BTreeMap<String, String> {
    static PAGES: std::sync::LazyLock<BTreeMap<String, String>> =
        std::sync::LazyLock::new(make_pages);
    &PAGES
}

fn make_pages() -> BTreeMap<String, String> {
    let lessons = lessons();
    let list: Vec<&Lesson> = lessons.iter().collect();
    let mut pages = BTreeMap::new();
    let homework = course::assignments();
    let listed: Vec<_> = homework.iter().map(workbook::page::entry).collect();
    pages.insert(
        "index.html".to_owned(),
        contents_page(&list, &listed, &assets()),
    );
    for file in homework {
        pages.insert(
            workbook::page::path(&file.assignment),
            workbook::workbook_page(file, &assets()),
        );
    }
    for (index, lesson) in lessons.iter().enumerate() {
        let previous = index
            .checked_sub(1)
            .map(|before| Neighbour::of(&lessons[before]));
        let next = lessons.get(index + 1).map(Neighbour::of);
        pages.insert(
            format!("lessons/{}/index.html", lesson.slug),
            lesson_page(lesson, previous, next, &assets()),
        );
        pages.insert(
            format!("lessons/{}/lecture.html", lesson.slug),
            lecture_page(lesson, &assets()),
        );
        pages.insert(
            format!("lessons/{}/notes.html", lesson.slug),
            notes_page(lesson, Some(&notes(&lesson.slug)), &assets()),
        );
        for (name, page) in [
            ("worksheet", worksheet_page(lesson, &assets())),
            ("solutions", solutions_page(lesson, &assets())),
        ] {
            pages.insert(format!("lessons/{}/{name}.html", lesson.slug), page);
        }
    }
    assert!(pages.len() >= 4, "the three first lessons and the contents");
    pages
}

/// The presenter's notes of a lesson, as written.
fn notes(slug: &str) -> String {
    let file = format!("{}/docs/notes/{slug}.md", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{file}: {error}"))
}

#[test]
fn a_lecture_shows_all_of_a_lesson_and_nothing_of_its_notes() {
    for lesson in lessons() {
        let screens = screens(lesson);
        let names: BTreeSet<&str> = screens
            .iter()
            .map(|screen| screen.screen.name.as_str())
            .collect();
        assert_eq!(names.len(), screens.len(), "{}: a name twice", lesson.slug);
        let words =
            |text: &str| -> Vec<String> { text.split_whitespace().map(str::to_owned).collect() };
        let mut shown = (Vec::new(), Vec::new());
        for screen in &screens {
            match screen.content {
                Content::Prose(text) | Content::Caution(text) => shown.0.extend(words(text)),
                Content::Block(block) => shown.1.push(block.id().to_owned()),
                Content::Title | Content::Broken(_) => {}
            }
        }
        let mut written = (Vec::new(), Vec::new());
        for part in lesson.steps.iter().flat_map(|step| &step.parts) {
            match part {
                Part::Prose(text) | Part::Caution(text) => written.0.extend(words(text)),
                Part::Block(block) => written.1.push(block.id().to_owned()),
                Part::Broken { .. } => {}
            }
        }
        assert_eq!(shown, written, "{}", lesson.slug);

        // Notes give answers away: no page that others see holds a line of them or leads there.
        let text = notes(&lesson.slug);
        let notes = notes_page(lesson, Some(&text), &assets());
        assert!(notes.contains("give answers away") && notes.len() > text.len());
        for page in [
            lecture_page(lesson, &assets()),
            lesson_page(lesson, None, None, &assets()),
        ] {
            assert!(!page.contains("notes.html"), "{}", lesson.slug);
            for line in text
                .lines()
                .filter(|line| line.starts_with("| ") && line.len() > 60)
            {
                // The last column says what to ask.
                let question = line
                    .trim_matches(['|', ' '])
                    .rsplit('|')
                    .next()
                    .unwrap()
                    .trim();
                assert!(
                    question.len() < 30 || !page.contains(question),
                    "{}: {question}",
                    lesson.slug
                );
            }
        }
        // Hints are shown with the answer, so they are not part of a form before it.
        assert!(!lecture_page(lesson, &assets()).contains("<details class=\"hint\""));
    }
}

/// A tag of a page: its name and attributes; `/name` for a closing one.
#[derive(Debug)]
struct Tag {
    name: String,
    attributes: BTreeMap<String, String>,
    /// Whether it closes itself, as drawings write it.
    is_whole: bool,
    at: usize,
}

/// Every tag of a page. The text of scripts is passed over; a bare `<` anywhere is a failure.
fn tags(page: &str) -> Vec<Tag> {
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(start) = page[at..].find('<').map(|start| at + start) {
        let end = start + page[start..].find('>').expect("an open tag at the end");
        let inside = page[start + 1..end].trim_end_matches('/');
        at = end + 1;
        if inside.starts_with('!') {
            continue;
        }
        let name: String = inside
            .split_whitespace()
            .next()
            .expect("a bare <")
            .to_owned();
        assert!(
            name.trim_start_matches('/')
                .starts_with(|c: char| c.is_ascii_alphabetic()),
            "a bare < at {:?}",
            &page[start..end]
        );
        let mut attributes = BTreeMap::new();
        let mut rest = inside[name.len()..].trim();
        while !rest.is_empty() {
            let stop = rest.find(['=', ' ']).unwrap_or(rest.len());
            let key = rest[..stop].to_owned();
            if rest[stop..].starts_with("=\"") {
                let value = &rest[stop + 2..];
                let close = value.find('"').expect("an open attribute");
                assert!(
                    attributes.insert(key, value[..close].to_owned()).is_none(),
                    "twice: {rest}"
                );
                rest = value[close + 1..].trim_start();
            } else {
                attributes.insert(key, String::new());
                rest = rest[stop..].trim_start();
            }
        }
        if name == "script" {
            at += page[at..]
                .find("</script>")
                .expect("a script that does not end");
        }
        found.push(Tag {
            name,
            attributes,
            is_whole: page[..end].ends_with('/'),
            at: start,
        });
    }
    found
}

#[test]
fn every_page_is_well_formed() {
    const EMPTY: [&str; 8] = ["meta", "link", "br", "hr", "input", "img", "mspace", "wbr"];
    for (path, page) in pages() {
        let mut open = Vec::new();
        for tag in tags(page) {
            if let Some(name) = tag.name.strip_prefix('/') {
                assert_eq!(open.pop().as_deref(), Some(name), "{path} at {}", tag.at);
            } else if !EMPTY.contains(&tag.name.as_str()) && !tag.is_whole {
                open.push(tag.name);
            }
        }
        assert!(open.is_empty(), "{path}: {open:?}");
    }
}

#[test]
fn nothing_inline_and_no_other_host() {
    for (path, page) in pages() {
        for tag in tags(page) {
            assert!(
                !tag.attributes.contains_key("style"),
                "{path}: style in {tag:?}"
            );
            assert!(
                !tag.attributes.keys().any(|key| key.starts_with("on")),
                "{path}: {tag:?}"
            );
            let loads = ["script", "link", "img"].contains(&tag.name.as_str());
            for key in ["src", "href"] {
                if let Some(target) = tag.attributes.get(key) {
                    assert!(!loads || !target.contains("//"), "{path} loads {target}");
                    assert!(!target.starts_with('/'), "{path}: {target} is not relative");
                }
            }
            if tag.name == "script" && !tag.attributes.contains_key("src") {
                assert_eq!(
                    tag.attributes.get("type").map(String::as_str),
                    Some("application/json"),
                    "{path}: a script inside the page"
                );
            }
        }
    }
}

#[test]
fn identifiers_are_unique_and_every_link_leads_somewhere() {
    let pages = pages();
    let identifiers: BTreeMap<&String, BTreeSet<String>> = pages
        .iter()
        .map(|(path, page)| {
            let mut found = BTreeSet::new();
            for tag in tags(page) {
                if let Some(id) = tag.attributes.get("id") {
                    assert!(found.insert(id.clone()), "{path}: two elements are `{id}`");
                }
            }
            (path, found)
        })
        .collect();
    let mut links = 0;
    for (path, page) in pages {
        for tag in tags(page) {
            for key in ["for", "aria-labelledby", "aria-describedby"] {
                for id in tag
                    .attributes
                    .get(key)
                    .iter()
                    .flat_map(|ids| ids.split(' '))
                {
                    assert!(
                        identifiers[path].contains(id),
                        "{path}: {key} names no `{id}`"
                    );
                }
            }
            let Some(target) = tag.attributes.get("href").filter(|_| tag.name == "a") else {
                continue;
            };
            if target.contains("://") {
                continue;
            }
            let (file, step) = target.split_once('#').unwrap_or((target, ""));
            let reached = if file.is_empty() {
                path.clone()
            } else {
                resolve(path, file)
            };
            let known = identifiers
                .get(&reached)
                .unwrap_or_else(|| panic!("{path}: {target} leads nowhere"));
            assert!(step.is_empty() || known.contains(step), "{path}: {target}");
            links += 1;
        }
    }
    assert!(links > pages.len(), "no links were looked at");
}

/// A relative path seen from a page.
fn resolve(page: &str, target: &str) -> String {
    let mut parts: Vec<&str> = page.split('/').collect();
    parts.pop();
    for part in target.split('/') {
        if part == ".." {
            assert!(parts.pop().is_some(), "{target} leaves the site");
        } else {
            parts.push(part);
        }
    }
    parts.join("/")
}

#[test]
fn each_island_reads_back_as_its_block_and_gives_nothing_away() {
    for lesson in lessons() {
        let page = lesson_page(lesson, None, None, &assets());
        let blocks: Vec<&Block> = lesson.blocks().collect();
        let mark = format!(" {}>", islands::SPEC);
        let found: Vec<&str> = page
            .split(&mark)
            .skip(1)
            .map(|rest| rest.split("</script>").next().unwrap())
            .collect();
        assert_eq!(found.len(), blocks.len(), "{}", lesson.slug);
        for (json, block) in found.iter().zip(&blocks) {
            let read = islands::read(json).unwrap();
            // Reading it again says the same: what the script needs is all there.
            assert_eq!(islands::island_json(&read), **json);
            assert_eq!(read.id(), block.id());
            assert!(!json.contains("reply"), "{json}");
            assert!(!json.contains("hint"), "{json}");
            // The seal is sixteen hexadecimal digits, never the name of an option.
            if let Some(rest) = json.split("\"right\":\"").nth(1) {
                let seal = rest.split('"').next().unwrap();
                assert!(
                    seal.len() == 16 && seal.bytes().all(|byte| byte.is_ascii_hexdigit()),
                    "{json}"
                );
            }
        }
    }
}

#[test]
fn what_follows_a_prediction_is_shut_until_it_is_committed() {
    for lesson in lessons() {
        let page = lesson_page(lesson, None, None, &assets());
        let mut after: Option<String> = None;
        for step in &lesson.steps {
            let section = page
                .split(&format!("<section class=\"step\" id=\"{}\"", step.anchor))
                .nth(1)
                .unwrap();
            let opening = section.split('>').next().unwrap();
            let shut = after
                .as_ref()
                .map(|id| format!("{}=\"{id}\"", islands::AFTER));
            assert_eq!(
                opening.contains(islands::AFTER),
                shut.is_some(),
                "{}: {opening}",
                lesson.slug
            );
            if let Some(shut) = shut {
                assert!(opening.contains(&shut), "{}: {opening}", lesson.slug);
            }
            for (index, part) in step.parts.iter().enumerate() {
                if let Part::Block(block) = part
                    && let Block::Predict(prediction) = block.as_ref()
                {
                    after = Some(prediction.id.clone());
                    if index + 1 < step.parts.len() {
                        let wrapper = format!("<div {}=\"{}\">", islands::AFTER, prediction.id);
                        assert_eq!(section.matches(&wrapper).count(), 1, "{wrapper}");
                    }
                }
            }
        }
        assert!(after.is_some(), "{} asks for no prediction", lesson.slug);
    }
}

/// Only a page with something computed in the background names the worker's files.
#[test]
fn the_worker_is_named_where_it_is_needed() {
    let text = include_str!("browser/lessons/slow-loop.md");
    let course = read_course(vec![("slow-loop.md".to_owned(), text.to_owned())]);
    let slow = &course[0];
    assert!(slow.diagnostics.is_empty(), "{:#?}", slow.diagnostics);
    let page = lesson_page(&slow.lesson, None, None, &assets());
    let named = "<meta name=\"coldfringe-worker\" content=\"../../assets/worker.js?bundle=coldfringe-worker-0\">";
    assert!(page.contains(named), "{page}");
    for lesson in lessons() {
        let is_slow = lesson
            .blocks()
            .filter_map(Block::setup)
            .any(SetupSpec::is_slow);
        for page in [
            lesson_page(lesson, None, None, &assets()),
            lecture_page(lesson, &assets()),
        ] {
            assert_eq!(page.contains(islands::WORKER), is_slow, "{}", lesson.slug);
        }
    }
}
