//! The plan of a lecture: the screens of a lesson, and the stages that each of them is shown in.
//! The page, the notes and the state machine all take it from here.

/// What a screen asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScreenKind {
    /// Words, a board picture or a bench: it is only looked at.
    Look,
    /// A prediction: asked, talked over, revealed.
    Predict,
    /// Something seen or computed: asked, answered.
    Ask,
}

impl ScreenKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Look, Self::Predict, Self::Ask];

    /// The name that stands in the page.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Look => "look",
            Self::Predict => "predict",
            Self::Ask => "ask",
        }
    }

    /// The kind of that name; anything else is only looked at.
    #[must_use]
    pub fn from_name(name: &str) -> Self {
        let known = Self::ALL.into_iter().find(|kind| kind.name() == name);
        known.unwrap_or(Self::Look)
    }
}

/// One screen of a lesson.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Screen {
    /// Its name, which is also its address.
    pub name: String,
    /// What it asks for.
    pub kind: ScreenKind,
    /// The block on it; empty for words.
    pub block: String,
    /// How many options there are to vote for; 0 when there is no vote.
    pub options: usize,
}

/// What a stage does with its screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// It is shown.
    Show,
    /// The question is put.
    Ask,
    /// Neighbours talk it over; whoever wants to changes their mind.
    Discuss,
    /// The answer is shown.
    Reveal,
}

impl Phase {
    /// The name that stands in the page.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Show => "show",
            Self::Ask => "ask",
            Self::Discuss => "discuss",
            Self::Reveal => "reveal",
        }
    }

    /// How long it takes as a rule, in minutes, in words; empty where there is no rule. Common
    /// practice in lecture demonstrations with predictions.
    #[must_use]
    pub fn minutes(self) -> &'static str {
        match self {
            Self::Show => "",
            Self::Ask => "about 2 min",
            Self::Discuss => "3 to 5 min",
            Self::Reveal => "about 3 min",
        }
    }

    fn suffix(self) -> &'static str {
        match self {
            Self::Show | Self::Ask => "",
            Self::Discuss => ".discuss",
            Self::Reveal => ".reveal",
        }
    }
}

/// One stage: what one press of the key leads to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stage {
    /// Its name, which is also its address.
    pub name: String,
    /// Which screen, counted from 0.
    pub screen: usize,
    /// What is done with it.
    pub phase: Phase,
}

/// The stages of a lecture, in order.
#[must_use]
pub fn stages(screens: &[Screen]) -> Vec<Stage> {
    let mut stages = Vec::new();
    for (index, screen) in screens.iter().enumerate() {
        let phases: &[Phase] = match screen.kind {
            ScreenKind::Look => &[Phase::Show],
            ScreenKind::Predict => &[Phase::Ask, Phase::Discuss, Phase::Reveal],
            ScreenKind::Ask => &[Phase::Ask, Phase::Reveal],
        };
        for &phase in phases {
            stages.push(Stage {
                name: format!("{}{}", screen.name, phase.suffix()),
                screen: index,
                phase,
            });
        }
    }
    stages
}
