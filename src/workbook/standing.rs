//! How questions stand, as numbers and as words.

use super::work::Work;
use crate::decimal;
use crate::homework::marking::TaskMark;

/// How a question stands.
#[derive(Debug, Clone, PartialEq)]
pub struct TaskStanding {
    /// What was made of it so far.
    pub mark: TaskMark,
    /// How often it may be tried; 0 while that is not known.
    pub most: u32,
    /// What it counts.
    pub points: u32,
    /// Whether nothing can be earned any more.
    pub closed: bool,
    /// Whether anything was done.
    pub begun: bool,
    /// Whether what was done is judged.
    pub known: bool,
}

impl TaskStanding {
    pub(super) fn new(mark: TaskMark, most: u32, points: u32, closed: bool) -> Self {
        Self {
            begun: mark.tries > 0 || mark.hints > 0,
            mark,
            most,
            points,
            closed,
            known: true,
        }
    }

    pub(super) fn unknown(points: u32, begun: bool) -> Self {
        Self {
            mark: TaskMark::default(),
            most: 0,
            points,
            closed: false,
            begun,
            known: false,
        }
    }

    /// One word for it: `open`, `begun`, `right`, `closed`.
    #[must_use]
    pub fn name(&self) -> &'static str {
        match (self.mark.right, self.closed, self.begun) {
            (true, _, _) => "right",
            (_, true, _) => "closed",
            (_, _, true) => "begun",
            _ => "open",
        }
    }

    /// In words: empty while it is untouched.
    #[must_use]
    pub fn words(&self) -> String {
        if self.mark.right || self.closed {
            let of = points(f64::from(self.points));
            let begins = if self.mark.right { "Right" } else { "Closed" };
            return format!(
                "{begins}: {} of {of}",
                decimal::shortest(rounded(self.mark.points))
            );
        }
        if self.mark.waiting {
            return "Say what you meant".to_owned();
        }
        if self.begun { "Begun" } else { "" }.to_owned()
    }

    /// The tries that are left, in words; `full` of all count in full, a later one so many per
    /// cent.
    #[must_use]
    pub fn tries_left(&self, full: u32, later: f64) -> String {
        if self.closed {
            return String::new();
        }
        let left = self.most.saturating_sub(self.mark.tries);
        let mut words = match (left, self.mark.tries) {
            (all, 0) => tries(all),
            (1, _) => "last try".to_owned(),
            (more, _) => format!("{more} of {} tries left", self.most),
        };
        if self.mark.tries >= full && later < 1.0 {
            let share = decimal::shortest((later * 100.0).round());
            words.push_str(&format!(", now for {share} % of the points"));
        }
        words
    }
}

/// How the whole assignment stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Sum {
    /// Points earned so far.
    pub points: f64,
    /// Points that can be earned.
    pub of: u32,
    /// Numbers, from 1, of the questions that are not done.
    pub open: Vec<usize>,
    /// How many questions there are.
    pub tasks: usize,
    /// Whether all that was done is judged.
    pub known: bool,
}

impl Sum {
    /// The sum of a student's work.
    #[must_use]
    pub fn of(work: &Work) -> Self {
        let mut sum = Self {
            points: 0.0,
            of: 0,
            open: Vec::new(),
            tasks: work.assignment().tasks.len(),
            known: true,
        };
        for place in 0..sum.tasks {
            let standing = work.standing(place);
            sum.points += standing.mark.points;
            sum.of += standing.points;
            sum.known &= standing.known || !standing.begun;
            if !standing.closed {
                sum.open.push(place + 1);
            }
        }
        sum
    }

    /// How many questions are done.
    #[must_use]
    pub fn done(&self) -> usize {
        self.tasks - self.open.len()
    }

    /// Points earned, as digits.
    #[must_use]
    pub fn points_written(&self) -> String {
        decimal::shortest(rounded(self.points))
    }

    /// In a few words, for the foot of the page.
    #[must_use]
    pub fn short(&self) -> String {
        format!(
            "{} of {} done · {} of {} so far",
            self.done(),
            self.tasks,
            self.points_written(),
            points(f64::from(self.of)),
        )
    }

    /// In sentences, beside the receipt.
    #[must_use]
    pub fn long(&self) -> String {
        let earned = format!(
            "{} of {} earned.",
            self.points_written(),
            points(f64::from(self.of))
        );
        let open: Vec<String> = self.open.iter().map(usize::to_string).collect();
        match open.split_last() {
            None => format!("All {} questions are done: {earned}", self.tasks),
            Some((only, [])) => format!("{earned} Question {only} is still open."),
            Some((last, before)) => format!(
                "{earned} Questions {} and {last} are still open.",
                before.join(", ")
            ),
        }
    }
}

/// Points that were put together from shares, without what the shares leave behind.
fn rounded(points: f64) -> f64 {
    (points * 1000.0).round() / 1000.0
}

/// So many tries, in words.
pub(super) fn tries(count: u32) -> String {
    if count == 1 {
        "one try".to_owned()
    } else {
        format!("{count} tries")
    }
}

/// So many points, in words.
pub(super) fn points(count: f64) -> String {
    let number = decimal::shortest(rounded(count));
    if number == "1" {
        "1 point".to_owned()
    } else {
        format!("{number} points")
    }
}
