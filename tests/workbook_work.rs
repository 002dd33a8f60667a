//! A student's work on an assignment, without a browser: every rule of the page, held to the
//! marking of the receipt that comes out of it.
#![cfg(not(target_arch = "wasm32"))]
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a test stops at the first surprise"
)]

mod course;

use coldfringe::homework::marking::{Paper, mark};
use coldfringe::homework::receipt::Seal;
use coldfringe::homework::{Assignment, Expected, Kind, Receipt, demo};
use coldfringe::prediction::Confidence;
use coldfringe::session::{Attempt, Commitment, StoredAnswer};
use coldfringe::workbook::{Effect, Message, NotTaken, Sum, Work, take_up};

fn assignment(name: &str) -> Assignment {
    course::assignment(name).assignment.clone()
}

/// A person at the page: what is done takes two seconds each time.
struct Desk {
    work: Work,
    now: f64,
    drafts: Attempt,
}

impl Desk {
    fn new(name: &str, student: &str) -> Self {
        Self::of(Work::new(assignment(name), student).unwrap())
    }

    fn of(mut work: Work) -> Self {
        for task in 0..work.assignment().tasks.len() {
            let block = work.block(task).unwrap().unwrap();
            let expected = Expected::new(&work.assignment().slug, &block).unwrap();
            work.know(task, expected);
        }
        Self {
            drafts: work.attempt(None),
            work,
            now: 1.7e12,
        }
    }

    fn task(&self, id: &str) -> usize {
        self.work.assignment().task(id).unwrap().0
    }

    fn next(&mut self) -> f64 {
        self.now += 2000.0;
        self.now
    }

    fn types(&mut self, id: &str, text: &str) -> Vec<Effect> {
        let (task, at) = (self.task(id), self.next());
        self.work.update(Message::Tried {
            task,
            text: text.to_owned(),
            at,
        })
    }

    fn hint(&mut self, id: &str) -> Vec<Effect> {
        let (task, at) = (self.task(id), self.next());
        self.work.update(Message::Hint { task, at })
    }

    fn solution(&mut self, id: &str) -> Vec<Effect> {
        let (task, at) = (self.task(id), self.next());
        self.work.update(Message::Solution { task, at })
    }

    fn commits(&mut self, id: &str, answer: StoredAnswer, sure: Confidence) {
        let at = self.next();
        self.drafts.blocks.get_or_default(id).committed = Some(Commitment {
            answer,
            sure,
            reason: None,
            at,
        });
        let attempt = self.drafts.clone();
        self.work.update(Message::Worked { attempt, at });
    }

    /// The right number of a question, typed to four figures.
    fn right(&self, id: &str) -> String {
        match self.work.expected(self.task(id)).as_deref() {
            Some(Expected::Number(expected)) => expected.written(expected.value(), 4),
            other => panic!("{other:?}"),
        }
    }

    /// The same times something.
    fn off(&self, id: &str, by: f64) -> String {
        match self.work.expected(self.task(id)).as_deref() {
            Some(Expected::Number(expected)) => expected.written(expected.value() * by, 4),
            other => panic!("{other:?}"),
        }
    }

    fn tries(&self, id: &str) -> u32 {
        self.work.standing(self.task(id)).mark.tries
    }

    /// The points that the page shows, which must be those of the marking.
    fn points(&self) -> f64 {
        let shown = Sum::of(&self.work).points;
        let (receipt, seal) = Receipt::read(&self.work.receipt().text()).unwrap();
        assert_eq!(seal, Seal::Whole);
        assert_eq!(receipt, self.work.receipt());
        let assignment = self.work.assignment();
        let marked = mark(
            &Paper::new(assignment),
            self.work.variant(),
            &receipt.entries,
        )
        .unwrap();
        assert!((marked.points() - shown).abs() < 1e-12);
        assert_eq!(marked.strangers, 0);
        assert!(marked.tasks.iter().all(|task| task.late == 0));
        shown
    }
}

fn refused(effects: &[Effect]) -> String {
    match effects {
        [Effect::Refuse(_, words)] => words.clone(),
        other => panic!("{other:?}"),
    }
}

fn said(effects: &[Effect]) -> String {
    match effects {
        [Effect::Save, Effect::Refresh(_), Effect::Announce(_, words)] => words.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_number_has_tries_and_what_cannot_count_costs_none() {
    let mut desk = Desk::new("slits", "ab12");
    let task = "first-zero";
    assert_eq!(refused(&desk.types(task, "  ")), "Type a value first.");
    assert!(refused(&desk.types(task, "about a millitesla")).contains("costs no try"));
    // A flux is not a field.
    assert!(!refused(&desk.types(task, "2.07 fWb")).is_empty());
    assert_eq!(desk.tries(task), 0);
    assert!(desk.work.entries().is_empty(), "nothing of that is kept");

    let wrong = desk.off(task, 0.37);
    said(&desk.types(task, &wrong));
    assert_eq!(desk.tries(task), 1);
    // The same again: with other blanks, with a comma, in another unit.
    let number: f64 = wrong.split(' ').next().unwrap().parse().unwrap();
    for again in [
        wrong.replace(' ', "  "),
        wrong.replace('.', ","),
        format!("{} µT", number * 1000.0),
        format!("{}·10⁻³ T", number),
        format!("{number}"),
    ] {
        assert!(
            refused(&desk.types(task, &again)).contains("costs no try"),
            "{again}"
        );
    }
    assert_eq!(desk.tries(task), 1);

    // A slip that is listed is named, and only that.
    said(&desk.types(task, &desk.off(task, 2.0)));
    assert_eq!(desk.work.standing(desk.task(task)).mark.slips, ["factor-2"]);
    assert_eq!(desk.work.standing(desk.task(task)).name(), "begun");
    // The third try counts half.
    assert!(
        desk.work
            .standing(desk.task(task))
            .tries_left(2, 0.5)
            .contains("3 of 5 tries left, now for 50 %")
    );
    said(&desk.types(task, &desk.right(task)));
    let standing = desk.work.standing(desk.task(task));
    assert_eq!((standing.name(), standing.closed), ("right", true));
    assert_eq!(standing.words(), "Right: 0.5 of 1 point");
    assert!((desk.points() - 0.5).abs() < 1e-12);
    // Nothing is taken afterwards.
    assert_eq!(desk.types(task, "1 mT"), [Effect::Refresh(desk.task(task))]);
    assert!((desk.points() - 0.5).abs() < 1e-12);
}

#[test]
fn the_last_try_closes_a_question() {
    let mut desk = Desk::new("loops", "zq 9");
    let task = "largest";
    for by in [0.3, 0.4, 0.45, 0.6] {
        said(&desk.types(task, &desk.off(task, by)));
    }
    assert!(
        desk.work
            .standing(desk.task(task))
            .tries_left(2, 0.5)
            .starts_with("last try")
    );
    said(&desk.types(task, &desk.off(task, 0.7)));
    let standing = desk.work.standing(desk.task(task));
    assert_eq!(standing.words(), "Closed: 0 of 1 point");
    assert!(desk.work.truth(desk.task(task)).unwrap().ends_with('A'));
    desk.types(task, &desk.right(task));
    assert!(desk.points() < 1e-12);
}

#[test]
fn hints_come_in_order_and_the_solution_is_asked_about() {
    let mut desk = Desk::new("slits", "ab12");
    let task = desk.task("side-lobe");
    for hint in 1..=3 {
        assert_eq!(
            desk.hint("side-lobe"),
            [
                Effect::Save,
                Effect::Refresh(task),
                Effect::ShowHint(task, hint)
            ]
        );
    }
    assert_eq!(desk.hint("side-lobe"), [Effect::AskForSolution(task)]);
    assert_eq!(desk.work.entries().len(), 3, "asking costs nothing");
    assert!(!desk.work.standing(task).closed);
    desk.solution("side-lobe");
    assert_eq!(desk.work.standing(task).words(), "Closed: 0 of 1 point");
    assert_eq!(desk.solution("side-lobe"), [], "once is enough");
    desk.types("side-lobe", &desk.right("side-lobe"));
    assert!(desk.points() < 1e-12);

    // After the right answer the solution is there for the asking, and is not kept as help.
    let own = desk.task("first-zero");
    desk.types("first-zero", &desk.right("first-zero"));
    let entries = desk.work.entries().len();
    assert_eq!(desk.hint("first-zero"), [Effect::ShowHint(own, 4)]);
    assert_eq!(desk.work.entries().len(), entries);
    assert!((desk.points() - 1.0).abs() < 1e-12);
}

#[test]
fn predictions_count_once_and_come_back_from_the_receipt() {
    let mut desk = Desk::new("slits", "ab12");
    desk.commits(
        "two-areas",
        StoredAnswer::Choice("same".to_owned()),
        Confidence::Certain,
    );
    assert!((desk.points() - 2.0).abs() < 1e-12);
    let before = desk.work.receipt();
    // The same again, as at every later change, adds nothing.
    let (attempt, at) = (desk.drafts.clone(), desk.next());
    desk.work.update(Message::Worked { attempt, at });
    assert_eq!(desk.work.receipt(), before);
    let entry = &desk.work.entries()[0];
    assert_eq!((entry.kind, entry.at), (Kind::Answer, 0));
    assert_eq!(entry.sure, Some(Confidence::Certain));

    let text = desk.work.receipt().text();
    let (receipt, _) = Receipt::read(&text).unwrap();
    let again = Work::resume(assignment("slits"), receipt, None, 1.8e12).unwrap();
    let kept = again.attempt(None);
    let back = kept.blocks.get("two-areas").unwrap();
    let committed = back.committed.as_ref().unwrap();
    assert_eq!(committed.answer, StoredAnswer::Choice("same".to_owned()));
    assert_eq!(committed.sure, Confidence::Certain);
    let again = Desk::of(again);
    assert!((again.points() - 2.0).abs() < 1e-12);
    assert_eq!(again.work.receipt().text(), text, "byte by byte");
}

#[test]
fn a_clock_that_is_set_back_leaves_the_order() {
    let mut desk = Desk::new("slits", "ab12");
    said(&desk.types("first-zero", &desk.off("first-zero", 0.3)));
    desk.now += 60_000.0;
    said(&desk.types("period", &desk.off("period", 0.3)));
    desk.now -= 3_600_000.0;
    said(&desk.types("period", &desk.off("period", 0.4)));
    let times: Vec<u32> = desk.work.entries().iter().map(|entry| entry.at).collect();
    assert_eq!(times[0], 0);
    assert!(times.is_sorted(), "{times:?}");
}

#[test]
fn the_sum_tells_what_is_open() {
    let mut desk = Desk::new("slits", "ab12");
    let sum = Sum::of(&desk.work);
    assert_eq!(sum.short(), "0 of 6 done · 0 of 9 points so far");
    desk.types("period", &desk.right("period"));
    let sum = Sum::of(&desk.work);
    assert_eq!(sum.short(), "1 of 6 done · 1 of 9 points so far");
    assert_eq!(
        sum.long(),
        "1 of 9 points earned. Questions 1, 2, 3, 5 and 6 are still open."
    );
    assert_eq!(desk.work.file_name(), "receipt-slits-ab12.json");
    assert_eq!(
        Desk::new("slits", "../a b/C").work.file_name(),
        "receipt-slits----a-b-c.json"
    );
}

#[test]
fn a_receipt_is_taken_up_only_where_it_belongs_and_loses_nothing() {
    let own = assignment("slits");
    let mut desk = Desk::new("slits", "AB12");
    desk.types("first-zero", &desk.off("first-zero", 0.3));
    desk.types("period", &desk.right("period"));
    let text = desk.work.receipt().text();
    assert_eq!(
        take_up(&own, None, &text).unwrap().entries.len(),
        2,
        "on a machine where nothing was begun"
    );
    // The same person, here a step back, goes on; what is here already is nothing new.
    let mut behind = Desk::new("slits", " ab12");
    behind.now = 1.7e12;
    behind.types("first-zero", &desk.off("first-zero", 0.3));
    assert!(take_up(&own, Some(&behind.work), &text).is_ok());
    assert_eq!(
        take_up(&own, Some(&desk.work), &text),
        Err(NotTaken::NothingNew)
    );
    assert_eq!(
        take_up(&own, Some(&desk.work), &behind.work.receipt().text()),
        Err(NotTaken::NothingNew)
    );
    behind.types("period", &desk.off("period", 0.4));
    assert_eq!(
        take_up(&own, Some(&behind.work), &text),
        Err(NotTaken::Parted(2))
    );
    // Somebody else has begun here; one who has only typed the identifier has not.
    let mut other = Desk::new("slits", "cd34");
    assert!(take_up(&own, Some(&other.work), &text).is_ok());
    other.types("period", "1 µT");
    assert!(matches!(
        take_up(&own, Some(&other.work), &text),
        Err(NotTaken::SomebodyElse { .. })
    ));
    // What does not belong here.
    assert!(matches!(
        take_up(&assignment("loops"), None, &text),
        Err(NotTaken::OtherAssignment(_))
    ));
    let mut newer = own.clone();
    newer.version = 2;
    assert_eq!(
        take_up(&newer, None, &text),
        Err(NotTaken::OtherVersion { found: 1, now: 2 })
    );
    assert_eq!(
        take_up(&own, None, &text.replace("\"first-zero\"", "\"side-lobe\"")),
        Err(NotTaken::Edited)
    );
    let mut swapped = desk.work.receipt();
    swapped.student = "cd34".to_owned();
    assert_eq!(
        take_up(&own, None, &swapped.text()),
        Err(NotTaken::OtherNumbers),
        "with its digests made anew"
    );
    for broken in ["", "{}", "[1,2]", "a photograph", &text[..text.len() / 2]] {
        assert!(
            matches!(take_up(&own, None, broken), Err(NotTaken::Unreadable(_))),
            "{broken:?}"
        );
    }
}

#[test]
fn every_receipt_of_an_invented_class_stands_in_the_page_as_it_is_marked() {
    for name in ["slits", "loops", "reading-data"] {
        let own = assignment(name);
        let paper = Paper::new(&own);
        let mut looked_at = 0;
        for (file, text) in demo::class(&own, 25).unwrap() {
            let Ok(receipt) = take_up(&own, None, &text) else {
                continue;
            };
            let entries = receipt.entries.clone();
            let work = Work::resume(own.clone(), receipt, None, 1.7e12).unwrap();
            let desk = Desk::of(work);
            let marked = mark(&paper, desk.work.variant(), &entries).unwrap();
            for (place, task) in marked.tasks.iter().enumerate() {
                assert_eq!(&desk.work.standing(place).mark, task, "{file}, {place}");
            }
            looked_at += 1;
        }
        assert!(looked_at > 15, "{looked_at} of {name}");
    }
}
