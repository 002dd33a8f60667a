//! Answers kept for those who ask again: on a page a question is asked, refused while the answer
//! is computed, and asked once more when it is there.

use super::{Answer, Job};

/// How many answers are kept; the oldest goes first. A lesson's sketches and choices together ask for a few dozen,
/// a board picture may be made of some forty, and several of them on a page must not drive out each other.
const KEPT: usize = 256;

/// Answers to jobs, and the job that somebody wanted last and that is not known.
#[derive(Debug, Default)]
pub struct Memory {
    answers: Vec<(Job, Result<Answer, String>)>,
    wanted: Option<Job>,
}

impl Memory {
    /// Nothing kept, nothing wanted.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            answers: Vec::new(),
            wanted: None,
        }
    }

    /// The answer to a job, or the words of its failure. None when it is not known; the job is
    /// then noted as wanted.
    pub fn look(&mut self, job: Job) -> Option<Result<Answer, String>> {
        let known = self.answers.iter().find(|(known, _)| *known == job);
        let answer = known.map(|(_, answer)| answer.clone());
        if answer.is_none() {
            self.wanted = Some(job);
        }
        answer
    }

    /// The job that was wanted since the last call and not known.
    pub fn wanted(&mut self) -> Option<Job> {
        self.wanted.take()
    }

    /// Keeps the answer to a job.
    pub fn keep(&mut self, job: Job, answer: Result<Answer, String>) {
        self.answers.retain(|(known, _)| *known != job);
        self.answers.insert(0, (job, answer));
        self.answers.truncate(KEPT);
    }

    /// Forgets failures, so that they are tried again.
    pub fn forget_failures(&mut self) {
        self.answers.retain(|(_, answer)| answer.is_ok());
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;
    use crate::experiment::Setup;

    fn job(x: f64) -> Job {
        Job::run(&Setup::new("junction-pair").unwrap(), &[x])
    }

    #[test]
    fn what_is_not_known_is_wanted_once() {
        let mut memory = Memory::new();
        assert_eq!(memory.look(job(0.0)), None);
        assert_eq!(memory.wanted(), Some(job(0.0)));
        assert_eq!(memory.wanted(), None);
        memory.keep(job(0.0), Ok(Answer::Seek(1.0)));
        assert_eq!(memory.look(job(0.0)), Some(Ok(Answer::Seek(1.0))));
        assert_eq!(memory.wanted(), None);
        assert_eq!(memory.look(job(0.5)), None, "another place is another job");
    }

    #[test]
    fn failures_are_kept_until_they_are_to_be_tried_again() {
        let mut memory = Memory::new();
        memory.keep(job(0.0), Err("no".to_owned()));
        assert_eq!(memory.look(job(0.0)), Some(Err("no".to_owned())));
        memory.forget_failures();
        assert_eq!(memory.look(job(0.0)), None);
        for place in 0..300 {
            memory.keep(job(f64::from(place)), Ok(Answer::Seek(0.0)));
        }
        assert_eq!(memory.look(job(0.0)), None, "the oldest goes");
        assert!(memory.look(job(299.0)).is_some());
    }
}
