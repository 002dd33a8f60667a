//! The map of the house in the crate's documentation against the code: every room is on the map,
//! and no room uses one that it must not know.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

use std::path::{Path, PathBuf};

struct Room {
    floor: u32,
    name: String,
}

/// The rooms of the map, from the top floor down.
fn map() -> Vec<Room> {
    let source = std::fs::read_to_string(here("src/lib.rs")).unwrap();
    let rooms: Vec<Room> = source
        .lines()
        .filter_map(|line| {
            let mut cells = line.strip_prefix("//! | ")?.split('|').map(str::trim);
            let floor = cells.next()?.parse().ok()?;
            let name = cells.next()?.trim_matches('`').to_owned();
            Some(Room { floor, name })
        })
        .collect();
    assert!(rooms.len() > 8, "the map in src/lib.rs cannot be read");
    rooms
}

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn files(path: &Path, found: &mut Vec<PathBuf>) {
    if path.is_dir() {
        for entry in std::fs::read_dir(path).unwrap() {
            files(&entry.unwrap().path(), found);
        }
    } else if path.extension().is_some_and(|ending| ending == "rs") {
        found.push(path.to_owned());
    }
}

/// Rust files of a room.
fn files_of(room: &str) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for path in [
        here(&format!("src/{room}")),
        here(&format!("src/{room}.rs")),
    ] {
        if path.exists() {
            files(&path, &mut found);
        }
    }
    found
}

/// The rooms that a file names, with the line. Comments may point anywhere.
fn named<'a>(source: &str, rooms: &'a [Room]) -> Vec<(usize, &'a Room)> {
    let mut found = Vec::new();
    for (index, line) in source.lines().enumerate() {
        let code = line.split("//").next().unwrap_or_default();
        for root in ["crate::", "coldfringe::"] {
            for piece in code.split(root).skip(1) {
                // `use crate::{a, b}` names several at once.
                let names: Vec<&str> = match piece.strip_prefix('{') {
                    Some(list) => list.split(',').map(str::trim).collect(),
                    None => vec![piece],
                };
                for name in names {
                    let word: String = name
                        .chars()
                        .take_while(|letter| letter.is_ascii_alphanumeric() || *letter == '_')
                        .collect();
                    found.extend(
                        rooms
                            .iter()
                            .filter(|room| room.name == word)
                            .map(|room| (index + 1, room)),
                    );
                }
            }
        }
    }
    found
}

fn may_use(rooms: &[Room], user: &Room, used: &Room) -> bool {
    let place = |wanted: &Room| rooms.iter().position(|room| room.name == wanted.name);
    used.floor < user.floor
        || used.name == user.name
        || (user.floor == 1 && used.floor == 1 && place(used) > place(user))
}

#[test]
fn no_room_uses_one_above_it() {
    let rooms = map();
    let mut faults = Vec::new();
    let mut seen = 0;
    for room in &rooms {
        for file in files_of(&room.name) {
            let source = std::fs::read_to_string(&file).unwrap();
            for (line, used) in named(&source, &rooms) {
                seen += 1;
                // In the command `crate::` is the command itself, which has modules of its own.
                if !may_use(&rooms, room, used) {
                    faults.push(format!(
                        "{}:{line}: `{}` on floor {} uses `{}` on floor {}",
                        file.display(),
                        room.name,
                        room.floor,
                        used.name,
                        used.floor
                    ));
                }
            }
        }
    }
    assert!(seen > 50, "only {seen} uses found: the reader is broken");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn every_room_is_on_the_map_and_every_place_on_the_map_is_a_room() {
    let rooms = map();
    for room in &rooms {
        assert!(
            !files_of(&room.name).is_empty(),
            "the map names `{}`, which has no files",
            room.name
        );
    }
    for entry in std::fs::read_dir(here("src")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let mut within = Vec::new();
        files(&path, &mut within);
        if name == "lib" || within.is_empty() {
            continue;
        }
        assert!(
            rooms.iter().any(|room| room.name == name),
            "`{name}` is not on the map in src/lib.rs: add it, with its floor"
        );
    }
}

#[test]
fn the_reader_finds_a_use_and_the_rule_refuses_it() {
    let rooms = map();
    let source =
        "// crate::web in a comment\nuse crate::{web, model};\nlet x = crate::page::f();\n";
    let found: Vec<(usize, &str)> = named(source, &rooms)
        .into_iter()
        .map(|(line, room)| (line, room.name.as_str()))
        .collect();
    assert_eq!(found, [(2, "web"), (2, "model"), (3, "page")]);
    let room = |name: &str| rooms.iter().find(|room| room.name == name).unwrap();
    assert!(may_use(&rooms, room("figure"), room("model")));
    assert!(!may_use(&rooms, room("model"), room("figure")));
    // Two rooms of one floor do not know each other, but for the lowest.
    assert!(!may_use(&rooms, room("figure"), room("prediction")));
    assert!(!may_use(&rooms, room("prediction"), room("figure")));
    assert!(may_use(&rooms, room("quantity"), room("numerics")));
    assert!(!may_use(&rooms, room("numerics"), room("quantity")));
}
