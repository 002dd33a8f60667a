//! Rows compared with each other, once all are in: the same record under two names, several files of
//! one student, numbers of somebody else, and the roster.

use std::collections::{BTreeMap, BTreeSet};

use super::super::identifier::Identifier;
use super::super::marking::Marks;
use super::{Flag, Grader, Row};

/// Which of several files of one student counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Keep {
    /// The one with most points; of equals the one with most entries.
    #[default]
    Best,
    /// The one with most entries; of equals the one whose name comes last.
    Longest,
}

impl Grader<'_> {
    /// Compares all rows, and adds one for everybody on the roster who handed in nothing. Sorted
    /// by identifier, then by file; the order in which files came in does not matter.
    #[must_use]
    pub fn finish(
        &self,
        mut rows: Vec<Row>,
        keep: Keep,
        roster: Option<&[Identifier]>,
    ) -> Vec<Row> {
        rows.sort_by(|a, b| (&a.identifier, &a.file).cmp(&(&b.identifier, &b.file)));
        tell_same_records(&mut rows);
        choose_among_several(&mut rows, keep);
        self.others.tell(&self.paper, &mut rows);
        if let Some(roster) = roster {
            let listed: BTreeSet<&Identifier> = roster.iter().collect();
            for row in &mut rows {
                if let Some(student) = &row.identifier
                    && !listed.contains(student)
                {
                    row.flags.push(Flag::NotOnRoster);
                }
            }
            let seen: BTreeSet<Identifier> = rows
                .iter()
                .filter_map(|row| row.identifier.clone())
                .collect();
            rows.extend(
                listed
                    .into_iter()
                    .filter(|student| !seen.contains(*student))
                    .map(missing),
            );
            rows.sort_by(|a, b| (&a.identifier, &a.file).cmp(&(&b.identifier, &b.file)));
        }
        for row in &mut rows {
            row.flags.sort();
            row.flags.dedup();
        }
        rows
    }
}

fn missing(student: &Identifier) -> Row {
    Row {
        student: student.as_str().to_owned(),
        identifier: Some(student.clone()),
        flags: vec![Flag::Missing],
        counts: true,
        ..Row::of("")
    }
}

/// Tells records that are the same but for the head: the digest of the answers alone.
fn tell_same_records(rows: &mut [Row]) {
    let mut seen: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for row in rows.iter() {
        if let Some(student) = &row.identifier
            && row.entries > 0
        {
            seen.entry(row.digest.clone())
                .or_default()
                .insert(student.as_str().to_owned());
        }
    }
    for row in rows {
        let Some(student) = &row.identifier else {
            continue;
        };
        let other = seen
            .get(&row.digest)
            .and_then(|students| students.iter().find(|other| *other != student.as_str()));
        if let Some(other) = other {
            row.flags.push(Flag::SameRecord(other.clone()));
        }
    }
}

fn choose_among_several(rows: &mut [Row], keep: Keep) {
    let mut start = 0;
    while start < rows.len() {
        let student = rows[start].identifier.clone();
        let end = rows
            .iter()
            .skip(start)
            .position(|row| row.identifier != student)
            .map_or(rows.len(), |length| start + length);
        if student.is_some() && end - start > 1 {
            let group = &mut rows[start..end];
            let points = |row: &Row| row.marks.as_ref().map_or(0.0, Marks::points);
            let best = (0..group.len()).max_by(|&a, &b| {
                let (a, b) = (&group[a], &group[b]);
                let by_points = match keep {
                    Keep::Best => points(a).total_cmp(&points(b)),
                    Keep::Longest => std::cmp::Ordering::Equal,
                };
                by_points
                    .then(a.entries.cmp(&b.entries))
                    .then(a.file.cmp(&b.file))
            });
            let count = group.len();
            for (place, row) in group.iter_mut().enumerate() {
                row.counts = Some(place) == best;
                row.flags.push(Flag::Several(count));
            }
        }
        start = end;
    }
}
