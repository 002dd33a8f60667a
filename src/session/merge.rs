//! Two tabs, one record: merging so that neither loses what the other kept.

use crate::numerics::order::sort_short_by;

use super::record::{Attempt, BlockRecord, LessonRecord, Record};

impl Record {
    /// Takes in what another tab has kept. Attempts are matched by name; a commitment once made
    /// stays, the earlier of two wins; the later draft wins; tries and met challenges add up.
    pub fn merge(&mut self, other: &Self) {
        for (slug, theirs) in other.lessons.iter() {
            self.lessons.get_or_default(slug).merge(theirs);
        }
        for (slug, theirs) in other.lectures.iter() {
            if self.lectures.contains(slug) {
                self.lectures.get_or_default(slug).merge(theirs);
            } else {
                self.lectures.insert(slug.clone(), theirs.clone());
            }
        }
    }
}

impl LessonRecord {
    fn merge(&mut self, other: &Self) {
        for theirs in &other.attempts {
            match self.attempts.iter_mut().find(|ours| ours.id == theirs.id) {
                Some(ours) => ours.merge(theirs),
                None => {
                    let mut theirs = theirs.clone();
                    theirs.order_tries();
                    self.attempts.push(theirs);
                }
            }
        }
        if let Some(theirs) = &other.here
            && self.here.as_ref().is_none_or(|ours| theirs.at > ours.at)
        {
            self.here = Some(theirs.clone());
        }
        sort_short_by(&mut self.attempts, |one, other| {
            one.started.total_cmp(&other.started)
        });
    }
}

impl Attempt {
    fn order_tries(&mut self) {
        for block in self.blocks.values_mut() {
            block.order_tries();
        }
    }

    pub(super) fn merge(&mut self, other: &Self) {
        for (id, theirs) in other.blocks.iter() {
            self.blocks.get_or_default(id).merge(theirs);
        }
    }
}

impl BlockRecord {
    fn merge(&mut self, other: &Self) {
        match (&self.committed, &other.committed) {
            (None, Some(theirs)) => self.committed = Some(theirs.clone()),
            (Some(ours), Some(theirs)) if theirs.at < ours.at => {
                self.committed = Some(theirs.clone());
            }
            _ => {}
        }
        if other.changed > self.changed {
            self.draft.clone_from(&other.draft);
            self.sure = other.sure;
            self.reason = other.reason;
            self.sliders.clone_from(&other.sliders);
            self.changed = other.changed;
        }
        if self.meant.is_none() {
            self.meant.clone_from(&other.meant);
        }
        if self.came.is_none() {
            self.came = other.came;
        }
        for theirs in &other.tries {
            if !self.tries.contains(theirs) {
                self.tries.push(theirs.clone());
            }
        }
        self.order_tries();
        for challenge in &other.met {
            self.meet(*challenge);
        }
    }

    /// Notes a challenge as met and says whether that is new.
    pub(super) fn meet(&mut self, challenge: u32) -> bool {
        match self.met.binary_search(&challenge) {
            Ok(_) => false,
            Err(place) => {
                self.met.insert(place, challenge);
                true
            }
        }
    }

    fn order_tries(&mut self) {
        sort_short_by(&mut self.tries, |one, other| one.at.total_cmp(&other.at));
    }
}
