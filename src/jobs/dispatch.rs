//! Who works on what. Each client has at most one job going on and one waiting; a new question of
//! a client takes the place of its older ones. A job going on is first allowed to bring its first
//! coarse result, so that a chart moves while a slider is dragged; then it makes way. A brief job
//! is always done to its end, and fits in between the slices of another.
//!
//! Pure: events in, steps out; the page carries the steps out.

use super::Job;

/// Whoever asks: a block of the page.
pub type Client = u32;
/// The number of a job, never used twice.
pub type JobNumber = u32;
/// The place of whoever works.
pub type HandNumber = usize;

/// What must be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Give the job to this hand.
    Start(HandNumber, JobNumber),
    /// Tell this hand to stop working on the job; it will say when it has.
    Stop(HandNumber, JobNumber),
    /// End this hand, which cannot hear before its job is done, and put a new one in its place.
    Replace(HandNumber),
}

#[derive(Debug, Clone)]
struct Entry {
    number: JobNumber,
    client: Client,
    job: Job,
    /// Where it is worked on, if it has begun.
    hand: Option<HandNumber>,
    /// Whether its first result has come.
    has_news: bool,
    /// Whether nobody wants it to its end any more.
    is_old: bool,
    /// Whether it was told to stop.
    is_stopping: bool,
}

/// Who works on what.
#[derive(Debug, Clone)]
pub struct Dispatch {
    hands: usize,
    next: JobNumber,
    entries: Vec<Entry>,
}

impl Dispatch {
    /// With that many hands, at least one.
    #[must_use]
    pub fn new(hands: usize) -> Self {
        Self {
            hands: hands.max(1),
            next: 1,
            entries: Vec::new(),
        }
    }

    /// A new question of a client.
    pub fn ask(&mut self, client: Client, job: Job) -> (JobNumber, Vec<Step>) {
        let mut steps = self.make_way(client, false);
        let number = self.next;
        self.next += 1;
        self.entries.push(Entry {
            number,
            client,
            job,
            hand: None,
            has_news: false,
            is_old: false,
            is_stopping: false,
        });
        steps.extend(self.assign());
        (number, steps)
    }

    /// A client wants nothing any more.
    pub fn forget(&mut self, client: Client) -> Vec<Step> {
        let mut steps = self.make_way(client, true);
        steps.extend(self.assign());
        steps
    }

    /// News of a job has come; `is_last` when its hand is free again.
    pub fn heard(&mut self, number: JobNumber, is_last: bool) -> Vec<Step> {
        if is_last {
            self.entries.retain(|entry| entry.number != number);
        } else if let Some(entry) = self.entries.iter_mut().find(|entry| entry.number == number) {
            entry.has_news = true;
            if entry.is_old && !entry.is_stopping {
                entry.is_stopping = true;
                return entry
                    .hand
                    .map(|hand| Step::Stop(hand, number))
                    .into_iter()
                    .collect();
            }
        }
        self.assign()
    }

    /// A hand is gone, and with it the job that it had.
    pub fn lost(&mut self, hand: HandNumber) -> Vec<Step> {
        self.entries.retain(|entry| entry.hand != Some(hand));
        self.assign()
    }

    /// The jobs that a hand works on: one, and perhaps a brief one besides.
    #[must_use]
    pub fn on_hand(&self, hand: HandNumber) -> Vec<JobNumber> {
        self.entries
            .iter()
            .filter(|entry| entry.hand == Some(hand))
            .map(|entry| entry.number)
            .collect()
    }

    /// The job of that number, if somebody still waits for it or it still goes on.
    #[must_use]
    pub fn job(&self, number: JobNumber) -> Option<&Job> {
        self.entry(number).map(|entry| &entry.job)
    }

    /// Who asked for a job.
    #[must_use]
    pub fn client(&self, number: JobNumber) -> Option<Client> {
        self.entry(number).map(|entry| entry.client)
    }

    fn entry(&self, number: JobNumber) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.number == number)
    }

    /// Drops what a client asked before; with `at_once` even what has not brought a result yet.
    fn make_way(&mut self, client: Client, at_once: bool) -> Vec<Step> {
        self.entries
            .retain(|entry| entry.client != client || entry.hand.is_some());
        let mut steps = Vec::new();
        let mut ended = Vec::new();
        for entry in &mut self.entries {
            let Some(hand) = entry.hand.filter(|_| entry.client == client) else {
                continue;
            };
            entry.is_old = true;
            if entry.job.is_brief() {
                continue;
            }
            if !entry.job.is_sliced() {
                ended.push(entry.number);
                steps.push(Step::Replace(hand));
            } else if (at_once || entry.has_news) && !entry.is_stopping {
                entry.is_stopping = true;
                steps.push(Step::Stop(hand, entry.number));
            }
        }
        self.entries.retain(|entry| !ended.contains(&entry.number));
        steps
    }

    /// Gives waiting jobs to free hands, oldest first. A client whose older job still goes on waits
    /// for it to make way.
    fn assign(&mut self) -> Vec<Step> {
        let mut steps = Vec::new();
        for place in 0..self.entries.len() {
            let hand = self
                .entries
                .get(place)
                .and_then(|entry| self.hand_for(entry));
            if let (Some(hand), Some(entry)) = (hand, self.entries.get_mut(place)) {
                entry.hand = Some(hand);
                steps.push(Step::Start(hand, entry.number));
            }
        }
        steps
    }

    /// The hand that can begin a job now, if there is one.
    fn hand_for(&self, waiting: &Entry) -> Option<HandNumber> {
        let mut at_work = self.entries.iter().filter(|entry| entry.hand.is_some());
        if waiting.hand.is_some() || at_work.any(|entry| entry.client == waiting.client) {
            return None;
        }
        let jobs = |hand: HandNumber| {
            self.entries
                .iter()
                .filter(move |entry| entry.hand == Some(hand))
        };
        let mut hands = 0..self.hands;
        hands.find(|hand| jobs(*hand).next().is_none()).or_else(|| {
            let mut hands = 0..self.hands;
            hands.find(|hand| {
                waiting.job.is_brief() && jobs(*hand).all(|entry| entry.job.is_sliced())
            })
        })
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::{Setup, Sought, View};

    fn run() -> Job {
        Job::run(&Setup::new("junction-pair").unwrap(), &[0.0])
    }

    fn seek() -> Job {
        let sought = Sought::Reading {
            reading: "period".to_owned(),
        };
        Job::seek(&Setup::new("junction-pair").unwrap(), &sought)
    }

    #[test]
    fn a_dragged_slider_sees_first_results_and_then_the_newest() {
        let mut dispatch = Dispatch::new(2);
        let (first, steps) = dispatch.ask(1, run());
        assert_eq!(steps, [Step::Start(0, first)]);
        // Two movements before the first result: the older of them is never begun.
        let (second, steps) = dispatch.ask(1, run());
        assert_eq!(steps, []);
        let (third, steps) = dispatch.ask(1, run());
        assert_eq!(steps, []);
        assert_eq!(dispatch.job(second), None);
        // The first result of the first has come: it makes way.
        assert_eq!(dispatch.heard(first, false), [Step::Stop(0, first)]);
        assert_eq!(dispatch.heard(first, false), [], "told once is enough");
        assert_eq!(dispatch.heard(first, true), [Step::Start(0, third)]);
        assert_eq!(dispatch.heard(third, false), []);
        // After a first result the next movement stops it at once.
        let (fourth, steps) = dispatch.ask(1, run());
        assert_eq!(steps, [Step::Stop(0, third)]);
        assert_eq!(dispatch.heard(third, true), [Step::Start(0, fourth)]);
        assert_eq!(dispatch.heard(fourth, true), []);
        assert_eq!(dispatch.job(fourth), None);
    }

    #[test]
    fn clients_share_the_hands_in_turn() {
        let mut dispatch = Dispatch::new(2);
        let jobs: Vec<JobNumber> = (1..=3)
            .map(|client| dispatch.ask(client, run()).0)
            .collect();
        let (again, steps) = dispatch.ask(1, run());
        assert_eq!(steps, []);
        assert_eq!(dispatch.heard(jobs[1], true), [Step::Start(1, jobs[2])]);
        assert_eq!(dispatch.client(jobs[2]), Some(3));
        assert_eq!(dispatch.heard(jobs[0], true), [Step::Start(0, again)]);
    }

    #[test]
    fn stopping_frees_a_hand_and_a_deaf_one_is_replaced() {
        let mut dispatch = Dispatch::new(1);
        let (deaf, _) = dispatch.ask(1, seek());
        let (other, steps) = dispatch.ask(2, run());
        assert_eq!(steps, []);
        assert_eq!(
            dispatch.forget(1),
            [Step::Replace(0), Step::Start(0, other)]
        );
        assert_eq!(dispatch.job(deaf), None);
        assert_eq!(dispatch.forget(2), [Step::Stop(0, other)]);
        assert_eq!(dispatch.forget(2), []);
        assert_eq!(dispatch.heard(other, true), []);
    }

    #[test]
    fn a_lost_hand_gives_up_its_job_and_the_next_one_begins() {
        let mut dispatch = Dispatch::new(1);
        let (first, _) = dispatch.ask(1, run());
        let (second, _) = dispatch.ask(2, run());
        assert_eq!(dispatch.on_hand(0), [first]);
        assert_eq!(dispatch.lost(0), [Step::Start(0, second)]);
        assert_eq!(dispatch.on_hand(0), [second]);
        assert_eq!(dispatch.lost(0), []);
        assert!(dispatch.on_hand(0).is_empty());
        assert_eq!(dispatch.lost(0), []);
    }

    #[test]
    fn a_picture_is_looked_up_while_a_curve_goes_on() {
        let look = || Job::inside(&Setup::new("rf-readout").unwrap(), View::Tank, 0.0);
        let mut dispatch = Dispatch::new(1);
        let (curve, _) = dispatch.ask(1, run());
        let (first, steps) = dispatch.ask(2, look());
        assert_eq!(steps, [Step::Start(0, first)]);
        assert_eq!(dispatch.on_hand(0), [curve, first]);
        // One at a time: of the places that the cursor passes meanwhile only the last is looked up.
        let (second, steps) = dispatch.ask(2, look());
        assert_eq!(steps, []);
        let (third, steps) = dispatch.ask(2, look());
        assert_eq!(steps, []);
        assert_eq!(dispatch.job(second), None);
        assert_eq!(dispatch.heard(first, true), [Step::Start(0, third)]);
        assert_eq!(dispatch.forget(2), [], "it is soon over");
        assert_eq!(dispatch.heard(third, true), []);
        // What never pauses hears nothing else.
        assert_eq!(dispatch.forget(1), [Step::Stop(0, curve)]);
        assert_eq!(dispatch.heard(curve, true), []);
        let (deaf, _) = dispatch.ask(1, seek());
        let (last, steps) = dispatch.ask(2, look());
        assert_eq!(steps, []);
        assert_eq!(dispatch.lost(0), [Step::Start(0, last)]);
        assert_eq!(dispatch.job(deaf), None);
    }
}
