//! A lecture as a pure state machine: keys and counts in, effects out. Any lesson, one stage at a
//! time. Two rules hold whatever is pressed: what was revealed stays revealed, and only going on
//! from the stage before it, on purpose, reveals.

mod kept;
mod message;
mod votes;

pub use kept::{LectureRecord, MOST_HANDS, Votes};
pub use message::{Effect, Message};
pub use votes::{Advice, FEWEST_SHOWN, right_place, shown_order};

pub(super) use kept::read;

use crate::lesson::plan::{Phase, Screen, Stage, stages};

/// How long a stage stands before the next key may reveal, in milliseconds: a key that bounces,
/// or a clicker pressed twice by a nervous thumb, spoils nothing.
pub const GUARD: f64 = 600.0;

/// A lecture.
#[derive(Debug, Clone, PartialEq)]
pub struct Lecture {
    screens: Vec<Screen>,
    stages: Vec<Stage>,
    record: LectureRecord,
    now: usize,
    notice: Option<&'static str>,
}

impl Lecture {
    /// The lecture of a lesson with these screens, going on from what is kept. `address` is what
    /// stands behind the `#`; it counts before the kept place. `id` names a new lecture.
    #[must_use]
    pub fn new(
        screens: Vec<Screen>,
        kept: Option<LectureRecord>,
        address: &str,
        id: &str,
        at: f64,
    ) -> Self {
        let stages = stages(&screens);
        let mut lecture = Self {
            screens,
            stages,
            record: kept.unwrap_or_else(|| LectureRecord::new(id, at)),
            now: 0,
            notice: None,
        };
        // Nobody waits for it any more.
        lecture.record.wish = None;
        let place = lecture.record.place.clone();
        match lecture.find(&place) {
            Some(stage) => lecture.now = lecture.allowed(stage),
            None if !place.is_empty() => {
                lecture.notice = Some(
                    "The lesson has changed since this lecture was kept, so it stands at its start. The votes are kept.",
                );
            }
            None => {}
        }
        if address.is_empty() {
            lecture.arrive(at);
        } else {
            lecture.follow(address, at);
        }
        lecture
    }

    /// Everything kept.
    #[must_use]
    pub fn record(&self) -> &LectureRecord {
        &self.record
    }

    /// The stages, in order.
    #[must_use]
    pub fn stages(&self) -> &[Stage] {
        &self.stages
    }

    /// Where the lecture stands among the stages, counted from 0.
    #[must_use]
    pub fn position(&self) -> usize {
        self.now
    }

    /// The stage that is shown; none in a lesson without screens.
    #[must_use]
    pub fn stage(&self) -> Option<&Stage> {
        self.stages.get(self.now)
    }

    /// The screen that is shown.
    #[must_use]
    pub fn screen(&self) -> Option<&Screen> {
        self.screens.get(self.stage()?.screen)
    }

    /// What is to be told to the lecturer, if anything.
    #[must_use]
    pub fn notice(&self) -> Option<&'static str> {
        self.notice
    }

    /// Whether the answer of a block was revealed.
    #[must_use]
    pub fn is_revealed(&self, block: &str) -> bool {
        self.record.revealed.iter().any(|known| known == block)
    }

    /// Whether something is switched on.
    #[must_use]
    pub fn is_on(&self, what: &str) -> bool {
        self.record.settings.iter().any(|known| known == what)
    }

    /// The state as an address: stage and blank, nothing else.
    #[must_use]
    pub fn address(&self) -> String {
        let name = self.stage().map_or("", |stage| &stage.name);
        match &self.record.blank {
            Some(blank) => format!("{name}~{blank}"),
            None => name.to_owned(),
        }
    }

    /// How many options can be voted for now: none once the answer is there.
    #[must_use]
    pub fn open_options(&self) -> usize {
        match (self.screen(), self.stage()) {
            (Some(screen), Some(stage))
                if matches!(stage.phase, Phase::Ask | Phase::Discuss)
                    && !self.is_revealed(&screen.block) =>
            {
                screen.options
            }
            _ => 0,
        }
    }

    /// The hands counted in the round going on, one number for each option.
    #[must_use]
    pub fn counts(&self) -> Vec<u32> {
        let mut counts = match (self.screen(), self.stage()) {
            (Some(screen), Some(stage)) => {
                let both = self.record.votes.get(&screen.block);
                let both = both.cloned().unwrap_or_default();
                if stage.phase == Phase::Ask {
                    both.first
                } else {
                    both.second
                }
            }
            _ => Vec::new(),
        };
        counts.resize(self.screen().map_or(0, |screen| screen.options), 0);
        counts
    }

    /// What the round going on suggests, when the right option stands at `right`.
    #[must_use]
    pub fn advice(&self, right: Option<usize>) -> Option<Advice> {
        let counts = self.counts();
        Advice::on(*counts.get(right?)?, counts.iter().sum())
    }

    /// Takes what the presenter's window wishes out of the record, for the window that answers it.
    pub fn take_wish(&mut self, at: f64) -> Option<String> {
        let wish = self.record.wish.take();
        if wish.is_some() {
            self.record.changed = at;
        }
        wish
    }

    /// Takes a message in and says what must be done.
    pub fn update(&mut self, message: Message) -> Vec<Effect> {
        match message {
            Message::Forward {
                at,
                is_tracing,
                is_more,
            } => self.forward(at, is_tracing, is_more),
            Message::Back { at, is_more } => {
                if self.record.blank.is_some() {
                    self.blank(None, at)
                } else if is_more {
                    vec![Effect::Scroll(false)]
                } else {
                    self.go(self.now.saturating_sub(1), at)
                }
            }
            Message::Wish { what, at } => {
                self.record.wish = Some(what.to_owned());
                self.record.changed = at;
                vec![Effect::Save]
            }
            Message::First { at } => self.go(0, at),
            Message::Furthest { at } => {
                let furthest = self.find(&self.record.furthest).unwrap_or(self.now);
                self.go(furthest, at)
            }
            Message::Address { text, at } => {
                if text == self.address() {
                    return Vec::new();
                }
                self.follow(&text, at);
                vec![Effect::Save, Effect::Show]
            }
            Message::Blank { with, at } => {
                let with = self.record.blank.is_none().then(|| with.to_owned());
                self.blank(with, at)
            }
            Message::Hand { option, less, at } => {
                let count = self.counts().get(option).copied().unwrap_or_default();
                let count = if less {
                    count.saturating_sub(1)
                } else {
                    count + 1
                };
                self.count(option, count, at)
            }
            Message::Count { option, count, at } => self.count(option, count, at),
            Message::Uncounted => {
                self.notice = Some(
                    "Hands are counted in whole numbers from 0 to 9999: the count stays as it was.",
                );
                vec![Effect::Show]
            }
            Message::Switch { what, at } => {
                if self.is_on(&what) {
                    self.record.settings.retain(|known| *known != what);
                } else {
                    self.record.settings.push(what);
                }
                self.changed(at)
            }
            Message::PutAside { block, sketch, at } => {
                self.record.sketches.get_or_default(&block).push(sketch);
                self.changed(at)
            }
            Message::Worked { attempt, at } => {
                self.record.attempt = attempt;
                self.record.changed = at;
                vec![Effect::Save]
            }
            Message::News(record) => self.news(&record),
            Message::StartAgain { id, at } => {
                let settings = std::mem::take(&mut self.record.settings);
                self.record = LectureRecord::new(&id, at);
                self.record.settings = settings;
                self.now = 0;
                self.arrive(at);
                vec![Effect::Save, Effect::Restart]
            }
            Message::Leave => vec![Effect::Leave],
        }
    }

    fn forward(&mut self, at: f64, is_tracing: bool, is_more: bool) -> Vec<Effect> {
        if self.record.blank.is_some() {
            return self.blank(None, at);
        }
        if is_tracing {
            return vec![Effect::FinishPen];
        }
        if is_more {
            return vec![Effect::Scroll(true)];
        }
        let next = self.now + 1;
        if next >= self.stages.len() {
            return Vec::new();
        }
        if let Some(block) = self.shut_block(next) {
            // A clock that was set back must not hold the lecture up.
            if (0.0..GUARD).contains(&(at - self.record.since)) {
                return Vec::new();
            }
            self.record.revealed.push(block);
        }
        self.go(next, at)
    }

    /// The block whose answer this stage would be the first to show.
    fn shut_block(&self, stage: usize) -> Option<String> {
        let stage = self.stages.get(stage)?;
        let block = &self.screens.get(stage.screen)?.block;
        (stage.phase == Phase::Reveal && !self.is_revealed(block)).then(|| block.clone())
    }

    /// The stage itself, or the one before it when it would reveal.
    fn allowed(&self, stage: usize) -> usize {
        match self.shut_block(stage) {
            Some(_) => stage.saturating_sub(1),
            None => stage,
        }
    }

    fn find(&self, name: &str) -> Option<usize> {
        self.stages.iter().position(|stage| stage.name == name)
    }

    fn go(&mut self, stage: usize, at: f64) -> Vec<Effect> {
        let stage = self.allowed(stage);
        self.record.blank = None;
        if stage != self.now {
            self.now = stage;
            self.arrive(at);
        }
        self.changed(at)
    }

    /// Notes where the lecture stands, from now on.
    fn arrive(&mut self, at: f64) {
        let Some(stage) = self.stages.get(self.now) else {
            return;
        };
        if self.record.place != stage.name {
            self.record.place.clone_from(&stage.name);
            self.record.since = at;
            // What could give the answer away is looked at once and is gone.
            self.record
                .settings
                .retain(|known| known != "advice" && known != "counts");
        }
        let furthest = self.find(&self.record.furthest);
        if furthest.is_none_or(|furthest| furthest < self.now) {
            self.record.furthest.clone_from(&self.record.place);
        }
    }

    /// Goes where an address says, as far as it may.
    fn follow(&mut self, address: &str, at: f64) {
        let (name, blank) = address.split_once('~').unwrap_or((address, ""));
        self.notice = None;
        match self.find(name) {
            Some(stage) => self.now = self.allowed(stage),
            None => {
                self.notice = Some(
                    "The address names no step of this lesson. The lecture stands where it was last.",
                );
            }
        }
        self.record.blank = match blank {
            "black" | "paper" => Some(blank.to_owned()),
            _ => None,
        };
        self.record.changed = at;
        self.arrive(at);
    }

    fn blank(&mut self, with: Option<String>, at: f64) -> Vec<Effect> {
        self.record.blank = with;
        self.changed(at)
    }

    fn count(&mut self, option: usize, count: u32, at: f64) -> Vec<Effect> {
        if option >= self.open_options() {
            return Vec::new();
        }
        let mut counts = self.counts();
        let (Some(screen), Some(stage)) = (self.screen(), self.stage()) else {
            return Vec::new();
        };
        let (block, is_first) = (screen.block.clone(), stage.phase == Phase::Ask);
        if let Some(place) = counts.get_mut(option) {
            *place = count.min(MOST_HANDS);
        }
        let both = self.record.votes.get_or_default(&block);
        if is_first {
            both.first = counts;
        } else {
            both.second = counts;
        }
        self.changed(at)
    }

    fn changed(&mut self, at: f64) -> Vec<Effect> {
        self.notice = None;
        self.record.changed = at;
        vec![Effect::Save, Effect::Show]
    }

    fn news(&mut self, record: &LectureRecord) -> Vec<Effect> {
        let before = self.record.clone();
        self.record.merge(record);
        if self.record == before {
            return Vec::new();
        }
        let is_other = self.record.attempt.id != before.attempt.id;
        let place = self.find(&self.record.place).unwrap_or_default();
        self.now = self.allowed(place);
        vec![if is_other {
            Effect::Restart
        } else {
            Effect::Show
        }]
    }
}
