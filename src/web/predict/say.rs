//! What is said after a commitment: the verdict to a reader alone, the answer to a hall, and what was committed in
//! earlier attempts.

use super::Predict;
use crate::prediction::outcome::{Came, better_reason};
use crate::session::{BlockRecord, Message};
use crate::web::dom::{self, Listener};
use crate::web::trouble::Outcome;
use crate::web::verdict;

impl Predict {
    /// Says what the record calls for; returns the first sentence, which is also what is announced.
    pub(super) fn say(&self, kept: &BlockRecord) -> Outcome<String> {
        if self.is_lecture() {
            let is_told = kept.committed.is_some();
            let told = if is_told {
                self.asked.told()?
            } else {
                verdict::Said::default()
            };
            verdict::show(&self.verdict, &told)?;
            dom::show(&self.verdict, !told.headline.is_empty());
            return Ok(told.headline);
        }
        let Some(committed) = &kept.committed else {
            dom::show(&self.verdict, false);
            self.live.set_text_content(None);
            return Ok(String::new());
        };
        let mut said = self.asked.said(committed, kept.meant.as_deref())?;
        if said.headline.is_empty() {
            said.headline = "What was committed here cannot be read back.".to_owned();
        }
        if said.came.is_some_and(Came::held) {
            let best = self.better_reason(committed.reason);
            said.notes.extend(best.map(better_reason));
        }
        said.earlier = self.earlier();
        let buttons = verdict::show(&self.verdict, &said)?;
        let listeners = buttons
            .into_iter()
            .map(|(button, picture)| {
                let (app, block) = (self.app.clone(), self.id.clone());
                let place = self.verdict.clone();
                Listener::new(&button, "click", move |_| {
                    if let Some(app) = app.upgrade() {
                        app.send(Message::Meant {
                            block: block.clone(),
                            picture: picture.clone(),
                        });
                    }
                    let _ = place.focus();
                })
            })
            .collect();
        self.which.replace(listeners);
        if let Some(came) = said.came {
            self.send(Message::Came {
                block: self.id.clone(),
                came,
            });
        }
        Ok(said.headline)
    }

    /// The reason that leads there, where another was given.
    fn better_reason(&self, given: Option<u32>) -> Option<&str> {
        let best = self.because.first()?;
        if self.because.contains(&given?) {
            return None;
        }
        self.reasons.get(*best as usize).map(String::as_str)
    }

    /// What was committed here in earlier attempts, in words: shown beside a new commitment only,
    /// since it may give the answer away.
    fn earlier(&self) -> Vec<String> {
        let Some(app) = self.app.upgrade() else {
            return Vec::new();
        };
        let mut told = Vec::new();
        for (made, came) in app.earlier(&self.id) {
            let mut words = format!(
                "{}; you were {}",
                self.asked.in_words(&made.answer),
                made.sure.was()
            );
            let reason = made
                .reason
                .and_then(|reason| self.reasons.get(reason as usize));
            if let Some(reason) = reason {
                words.push_str(&format!(" (“{reason}”)"));
            }
            if let Some(came) = came {
                words.push_str(&format!("; it {}", came.words()));
            }
            words.push('.');
            told.push(words);
        }
        told
    }
}
