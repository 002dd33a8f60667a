//! The command that marks a class: what the guide shows of it is true, and it writes its three
//! files and nothing else.

use coldfringe::homework::demo;

use super::by_hand::assignment;
use crate::course;

/// The command, in a folder of its own; what it said.
fn grade(arguments: &[&str]) -> String {
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_coldfringe"))
        .arg("grade")
        .args(arguments)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{arguments:?}: {said}");
    String::from_utf8(output.stdout).unwrap()
}

/// A folder for one test, empty at first, and taken away again.
struct Folder(std::path::PathBuf);

impl Folder {
    fn new(name: &str) -> Self {
        let path = std::env::temp_dir().join(format!("coldfringe-{name}-{}", std::process::id()));
        let _ = std::fs::remove_dir_all(&path);
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }

    fn path(&self, name: &str) -> String {
        self.0.join(name).display().to_string()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// The worked example of the guide is what the commands give today.
#[test]
fn the_worked_example_of_the_guide_is_true() {
    let guide = include_str!("../../docs/homework.md");
    let told = |fence: &str| {
        let (_, rest) = guide.split_once(&format!("```csv {fence}\n")).unwrap();
        rest.split_once("```").unwrap().0.to_owned()
    };
    let folder = Folder::new("guide");
    let (class, marks) = (folder.path("class"), folder.path("marks.csv"));
    let assignment = course::assignment_path("slits").display().to_string();
    grade(&[
        "--assignment",
        &assignment,
        "--demo-class",
        "20",
        "--out",
        &class,
    ]);
    let said = grade(&["--assignment", &assignment, &class, "--out", &marks]);
    let first = said
        .split_once("; marks in")
        .unwrap()
        .0
        .trim_start_matches("coldfringe: ");
    assert!(guide.contains(&format!("`{first}`")), "{said}");
    for (name, fence) in [("marks.csv", "marks"), ("marks-report.csv", "report")] {
        let written = std::fs::read_to_string(folder.path(name)).unwrap();
        assert_eq!(written.replace("\r\n", "\n"), told(fence), "{name}");
    }
    // The table of assignments counts the students right.
    for file in course::assignments() {
        let variants = file
            .assignment
            .draws
            .iter()
            .map(|draw| draw.values.len())
            .product::<usize>();
        let slug = &file.assignment.slug;
        let row = guide
            .lines()
            .find(|line| line.starts_with(&format!("| `{slug}.md`")))
            .unwrap();
        assert!(
            row.ends_with(&format!("| {variants} |")),
            "{row}: {variants}"
        );
    }
}

/// Identifiers, questions and file names that would lead elsewhere lead nowhere: marking writes its
/// three files and nothing else.
#[test]
fn nothing_in_a_receipt_leads_out_of_the_folder() {
    let folder = Folder::new("hostile");
    let class = folder.0.join("class");
    std::fs::create_dir_all(&class).unwrap();
    let assignment = assignment("slits");
    let honest = &demo::class(assignment, 1).unwrap()[0].1;
    let names = [
        "../../escaped",
        "/tmp/escaped",
        "..\\..\\escaped",
        "C:\\escaped",
        "=cmd|' /C calc'!A0",
        "<script>escaped()</script>",
        "con",
        "a/b/../../c",
        "%2e%2e%2fescaped",
    ];
    for (place, name) in names.iter().enumerate() {
        let typed = serde_json::Value::from(*name).to_string();
        let changed = honest
            .replace("\"demo-0001\"", &typed)
            .replace("\"first-zero\"", &typed);
        std::fs::write(class.join(format!("{place}.json")), changed).unwrap();
    }
    // Names of files as a file system takes them.
    for name in [
        "..%2f..%2fescaped.json",
        "=1+1.json",
        "a,\"b\".json",
        "<b>.json",
        "-rf.json",
    ] {
        std::fs::write(class.join(name), honest).unwrap();
    }
    std::fs::create_dir_all(class.join("deep/..json")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("/etc", class.join("link")).unwrap();
    #[cfg(unix)]
    std::os::unix::fs::symlink("/etc/hostname", class.join("link.json")).unwrap();
    let before = everything(&folder.0);
    let (all, marks) = (folder.path("class"), folder.path("marks.csv"));
    let slits = course::assignment_path("slits").display().to_string();
    let said = grade(&["--assignment", &slits, &all, "--out", &marks]);
    assert!(
        said.contains("14 receipts"),
        "links are not followed: {said}"
    );
    let mut after = everything(&folder.0);
    after.retain(|name| !before.contains(name));
    assert_eq!(
        after,
        ["marks-report.csv", "marks-report.html", "marks.csv"]
    );
    let table = std::fs::read_to_string(&marks).unwrap();
    assert!(
        table.contains("'=cmd"),
        "a formula is kept from being one: {table}"
    );
    let page = std::fs::read_to_string(folder.path("marks-report.html")).unwrap();
    assert!(
        !page.contains("<script") && !page.contains("<b>"),
        "words stay words"
    );
}

/// Every file below a folder, links not followed.
fn everything(folder: &std::path::Path) -> Vec<String> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(next) = open.pop() {
        for entry in std::fs::read_dir(next).unwrap() {
            let entry = entry.unwrap();
            if entry.file_type().unwrap().is_dir() {
                open.push(entry.path());
            } else {
                let path = entry.path();
                found.push(path.strip_prefix(folder).unwrap().display().to_string());
            }
        }
    }
    found.sort();
    found
}
