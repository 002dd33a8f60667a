//! The tables that a teacher gets: marks and the class report as CSV (RFC 4180), and the report as
//! a page of its own. No date and no path of a machine stands in them, so that the same receipts
//! give the same bytes.

use std::collections::BTreeMap;

use super::assignment::{Assignment, SOLUTION};
use super::grading::Row;
use super::marking::TaskMark;

/// Rows of a table, the first of them its head.
pub type Table = Vec<Vec<String>>;

/// Points of every student: one row for each file, and for everybody on the roster without one.
#[must_use]
pub fn marks(assignment: &Assignment, rows: &[Row]) -> Table {
    let mut head: Vec<String> = ["student", "file", "counts", "points", "out of"]
        .map(str::to_owned)
        .to_vec();
    head.extend(assignment.tasks.iter().map(|task| task.id.clone()));
    head.push("flags".to_owned());
    let mut table = vec![head];
    let whole: u32 = assignment.tasks.iter().map(|task| task.points).sum();
    for row in rows {
        let mut cells = vec![
            row.student.clone(),
            row.file.clone(),
            if row.counts { "yes" } else { "no" }.to_owned(),
            row.marks
                .as_ref()
                .map_or_else(|| "0".to_owned(), |marks| points(marks.points())),
            whole.to_string(),
        ];
        for place in 0..assignment.tasks.len() {
            let mark = row.marks.as_ref().and_then(|marks| marks.tasks.get(place));
            cells.push(mark.map_or_else(String::new, |mark| points(mark.points)));
        }
        let flags: Vec<String> = row.flags.iter().map(ToString::to_string).collect();
        cells.push(flags.join("; "));
        table.push(cells);
    }
    table
}

/// What the next lecture needs to know of one question.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TaskReport {
    /// Students who answered it at all.
    pub answered: usize,
    /// Of them, right at the first try.
    pub right_at_once: usize,
    /// Of them, right in the end.
    pub right: usize,
    /// Of them, certain of a wrong answer.
    pub sure_and_wrong: usize,
    /// Of them, those who opened the worked solution.
    pub solutions: usize,
    /// Slips and wrong pictures by name, with how many students met them.
    pub slips: BTreeMap<String, usize>,
}

/// The report on each question, over the rows that count.
#[must_use]
pub fn class_report(assignment: &Assignment, rows: &[Row]) -> Vec<TaskReport> {
    let mut reports = vec![TaskReport::default(); assignment.tasks.len()];
    for row in rows.iter().filter(|row| row.counts) {
        let Some(marks) = &row.marks else { continue };
        for (report, mark) in reports.iter_mut().zip(&marks.tasks) {
            report.add(mark);
        }
    }
    reports
}

impl TaskReport {
    fn add(&mut self, mark: &TaskMark) {
        if mark.tries == 0 && mark.hints == 0 {
            return;
        }
        self.answered += 1;
        self.right_at_once += usize::from(mark.right_at_once());
        self.right += usize::from(mark.right);
        self.sure_and_wrong += usize::from(mark.sure_and_wrong);
        self.solutions += usize::from(mark.hints >= SOLUTION);
        let mut met: Vec<&String> = mark.slips.iter().collect();
        met.sort();
        met.dedup();
        for slip in met {
            *self.slips.entry(slip.clone()).or_default() += 1;
        }
    }

    /// The slips that were met most, with their counts.
    #[must_use]
    pub fn most_met(&self, count: usize) -> Vec<(&str, usize)> {
        let mut slips: Vec<(&str, usize)> = self
            .slips
            .iter()
            .map(|(name, count)| (name.as_str(), *count))
            .collect();
        slips.sort_by_key(|&(name, count)| (std::cmp::Reverse(count), name));
        slips.truncate(count);
        slips
    }
}

/// The class report as a table.
#[must_use]
pub fn report(assignment: &Assignment, reports: &[TaskReport]) -> Table {
    let head = [
        "question",
        "answered",
        "right first time",
        "right in the end",
        "certain and wrong",
        "solution opened",
        "slips",
    ];
    let mut table = vec![head.map(str::to_owned).to_vec()];
    for (task, report) in assignment.tasks.iter().zip(reports) {
        let slips: Vec<String> = report
            .most_met(usize::MAX)
            .into_iter()
            .map(|(name, count)| format!("{name} {count}"))
            .collect();
        table.push(vec![
            task.id.clone(),
            report.answered.to_string(),
            report.right_at_once.to_string(),
            report.right.to_string(),
            report.sure_and_wrong.to_string(),
            report.solutions.to_string(),
            slips.join("; "),
        ]);
    }
    table
}

/// A table as CSV: commas, quotes where needed, lines that end in carriage return and line feed.
///
/// # Errors
/// Never in practice: writing to memory does not fail.
pub fn csv(table: &Table) -> Result<String, csv::Error> {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    for row in table {
        writer.write_record(row.iter().map(|cell| guarded(cell)))?;
    }
    let bytes = writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A cell that no spreadsheet takes for a formula (CWE-1236): what begins like one gets an
/// apostrophe in front. Numbers stay numbers.
fn guarded(cell: &str) -> String {
    let starts = cell
        .trim_start_matches([' ', '\u{A0}'])
        .starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '|', '%']);
    if starts && cell.parse::<f64>().is_err() {
        format!("'{cell}")
    } else {
        cell.to_owned()
    }
}

/// Points with at most two decimals.
#[must_use]
pub fn points(points: f64) -> String {
    let text = format!("{points:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests {
    use super::{csv, guarded, points};

    #[test]
    fn cells_are_quoted_as_the_standard_says() {
        // RFC 4180, section 2, rules 5 to 7.
        let table = vec![
            vec!["a".to_owned(), "b,c".to_owned()],
            vec!["say \"so\"".to_owned(), "two\r\nlines".to_owned()],
        ];
        assert_eq!(
            csv(&table).ok().as_deref(),
            Some("a,\"b,c\"\r\n\"say \"\"so\"\"\",\"two\r\nlines\"\r\n")
        );
    }

    #[test]
    fn nothing_is_taken_for_a_formula() {
        // The signs that the common weakness list names (CWE-1236).
        for cell in ["=1+1", "+cmd", "-2+3", "@sum", "\tx", "\rx", "  =x"] {
            assert_eq!(guarded(cell), format!("'{cell}"), "{cell:?}");
        }
        for cell in ["-2.5", "+3", "1e-3", "a=b", "", "'=x"] {
            assert_eq!(guarded(cell), cell);
        }
    }

    #[test]
    fn points_are_short() {
        assert_eq!(
            [1.0, 0.5, 2.25, 0.0, 10.0].map(points),
            ["1", "0.5", "2.25", "0", "10"]
        );
    }
}
