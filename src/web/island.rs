//! What every live block of a page can be told to do, whatever it shows. The page knows its blocks by this alone.

use super::trouble::Outcome;

/// A live block.
pub(crate) trait Island {
    /// Show the block as it now stands.
    fn refresh(&self) -> Outcome;
    /// The reader has just committed: trace the truth beside it.
    fn reveal(&self) -> Outcome {
        self.refresh()
    }
    /// Show the truth up to a share of the way.
    fn trace(&self, _share: f64) -> Outcome {
        Ok(())
    }
    /// Say what is missing before a commitment.
    fn problem(&self, _text: &str) -> Outcome {
        Ok(())
    }
    /// Put the question "commit for good?".
    fn ask(&self) -> Outcome {
        Ok(())
    }
    /// In a lecture: show the answer to something that is asked as often as wanted.
    fn answer(&self) -> Outcome {
        Ok(())
    }
    /// Whether the pen is on its way.
    fn is_tracing(&self) -> bool {
        false
    }
    /// Let the pen be done.
    fn finish_pen(&self) {}
}
