//! Hands counted, and what the count suggests. Counts only: a vote belongs to nobody.

use crate::lesson::spec::{Ask, Block, Statement, seal};
use crate::numerics::order::sort_short_by;
use crate::prediction::pick;

/// With fewer hands than this, bars would show who voted for what; they stay off the screen.
pub const FEWEST_SHOWN: u32 = 5;

/// What the share of right votes suggests.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Advice {
    /// Fewer than 35 % are right.
    Hint,
    /// From 35 % to 70 % are right.
    Discuss,
    /// More than 70 % are right.
    GoOn,
}

impl Advice {
    /// The advice for so many right votes of so many; none before anybody has voted. The bounds
    /// are those of the vote flow of peer instruction as summarised by Vickrey et al., CBE Life
    /// Sciences Education 14, es3 (2015).
    #[must_use]
    pub fn on(right: u32, all: u32) -> Option<Self> {
        let (right, all) = (u64::from(right) * 100, u64::from(all));
        Some(match () {
            () if all == 0 => return None,
            () if right < 35 * all => Self::Hint,
            () if right <= 70 * all => Self::Discuss,
            () => Self::GoOn,
        })
    }

    /// The advice in words. They do not say which option is right.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Hint => "Fewer than 35 % are right: give a hint, then vote again.",
            Self::Discuss => {
                "Between 35 and 70 % are right: let neighbours discuss, then vote again."
            }
            Self::GoOn => "More than 70 % are right: a short explanation, and go on.",
        }
    }
}

/// The options of a block in the order in which they are shown: identifiers of statements, or
/// names of pictures. `attempt` is the name of the attempt; it fixes the order.
#[must_use]
pub fn shown_order(lesson: &str, block: &Block, attempt: &str) -> Vec<String> {
    let mut names: Vec<String> = match block {
        Block::Predict(prediction) => match &prediction.ask {
            Ask::PickCurve { chart, pictures } => {
                let kind = &prediction.setup.kind;
                pick::curves(kind, &chart.column, pictures)
                    .into_iter()
                    .map(str::to_owned)
                    .collect()
            }
            Ask::PickStatement { options, .. } | Ask::MarkBoard { options, .. } => sorted(options),
            Ask::Sketch { .. } | Ask::MarkAxis { .. } | Ask::Number(_) => Vec::new(),
        },
        Block::Observe(observation) => sorted(&observation.options),
        Block::Bench(_) | Block::Question(_) | Block::Board(_) | Block::Record(_) => Vec::new(),
    };
    let seed = pick::seed(&format!("{attempt}|{lesson}|{}", block.id()));
    pick::shuffled(names.len(), seed)
        .into_iter()
        .filter_map(|index| names.get_mut(index).map(std::mem::take))
        .collect()
}

fn sorted(options: &[Statement]) -> Vec<String> {
    let mut names: Vec<String> = options.iter().map(|option| option.id.clone()).collect();
    sort_short_by(&mut names, |one, other| one.cmp(other));
    names
}

/// The place of the right option among those shown, counted from 0; none where there is no vote.
#[must_use]
pub fn right_place(lesson: &str, block: &Block, attempt: &str) -> Option<usize> {
    let right = match block {
        Block::Predict(prediction) => match &prediction.ask {
            Ask::PickCurve { .. } => None,
            Ask::PickStatement { right, .. } | Ask::MarkBoard { right, .. } => Some(right),
            Ask::Sketch { .. } | Ask::MarkAxis { .. } | Ask::Number(_) => return None,
        },
        Block::Observe(observation) => Some(&observation.right),
        Block::Bench(_) | Block::Question(_) | Block::Board(_) | Block::Record(_) => return None,
    };
    shown_order(lesson, block, attempt)
        .iter()
        .position(|name| match right {
            None => name == crate::prediction::pictures::MODEL,
            Some(right) => seal(lesson, block.id(), name) == *right,
        })
}
