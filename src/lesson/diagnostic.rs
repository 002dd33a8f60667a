//! What is wrong in a lesson file, where, and how to mend it.

use std::ops::Range;

/// The kinds of mistake. Each has a short name that stays the same from version to version.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mistake {
    /// The file cannot be read at all.
    UnreadableFile,
    /// The file has no `lesson` block, or it is not the first one.
    NoLessonBlock,
    /// A block of a kind that the format does not know.
    UnknownBlock,
    /// A block that is not closed.
    UnclosedBlock,
    /// A block that stands inside a list or a quotation.
    IndentedBlock,
    /// The body of a block is not TOML.
    BadToml,
    /// A key that the block does not know.
    UnknownKey,
    /// A key that the block needs.
    MissingKey,
    /// A value of the wrong type.
    WrongType,
    /// A name that is missing or has other signs than small letters, digits and hyphens.
    BadName,
    /// A name used twice.
    DuplicateName,
    /// A word that is not among those possible.
    UnknownWord,
    /// A set-up that no block defines.
    UnknownSetup,
    /// Something the model does not know or take: a parameter, a unit, a value out of range.
    BadParameter,
    /// A column that the set-up does not have.
    UnknownColumn,
    /// An axis or a unit of an axis that the set-up does not have.
    UnknownScale,
    /// A reading that the set-up does not have.
    UnknownReading,
    /// A wrong picture that nobody knows for this set-up and column.
    UnknownPicture,
    /// A board picture that does not fit the set-up.
    BoardDoesNotFit,
    /// A quantity that cannot be read, or whose unit does not fit.
    BadQuantity,
    /// A range whose start is not below its end.
    EmptyRange,
    /// A number outside what makes sense.
    OutOfRange,
    /// No option, or more than one, is marked as right.
    NotOneRight,
    /// An answer that the model cannot compute.
    AnswerNotComputable,
    /// An answer that lies outside the chart.
    AnswerOutsideChart,
    /// A formula that cannot be read.
    BadFormula,
    /// A blank line inside a displayed formula.
    BlankLineInFormula,
    /// HTML in the text.
    RawHtml,
    /// An image in the text.
    Image,
    /// A heading of the wrong level.
    HeadingLevel,
    /// Text before the first heading.
    TextBeforeHeading,
    /// A link that leads nowhere.
    BrokenLink,
    /// Two lessons with one slug.
    DuplicateSlug,
    /// Two lessons with one number.
    DuplicateNumber,
    /// An assignment file without its first block, or without a question.
    NoAssignmentBlock,
    /// A computed value that nobody speaks of.
    UnusedValue,
    /// A draw that cannot be drawn from, or that nothing depends on.
    BadDraw,
    /// A placeholder that no `value` block, or in an assignment no `draw` block, stands behind.
    UnknownPlaceholder,
    /// A numeric question of an assignment with fewer or more hints than four.
    NotFourHints,
    /// A right answer and a slip, or two slips, that may be taken for one another.
    TooClose,
}

impl Mistake {
    /// Every kind of mistake.
    pub const ALL: [Self; 40] = [
        Self::UnreadableFile,
        Self::NoLessonBlock,
        Self::UnknownBlock,
        Self::UnclosedBlock,
        Self::IndentedBlock,
        Self::BadToml,
        Self::UnknownKey,
        Self::MissingKey,
        Self::WrongType,
        Self::BadName,
        Self::DuplicateName,
        Self::UnknownWord,
        Self::UnknownSetup,
        Self::BadParameter,
        Self::UnknownColumn,
        Self::UnknownScale,
        Self::UnknownReading,
        Self::UnknownPicture,
        Self::BoardDoesNotFit,
        Self::BadQuantity,
        Self::EmptyRange,
        Self::OutOfRange,
        Self::NotOneRight,
        Self::AnswerNotComputable,
        Self::AnswerOutsideChart,
        Self::BadFormula,
        Self::BlankLineInFormula,
        Self::RawHtml,
        Self::Image,
        Self::HeadingLevel,
        Self::TextBeforeHeading,
        Self::BrokenLink,
        Self::DuplicateSlug,
        Self::DuplicateNumber,
        Self::NoAssignmentBlock,
        Self::UnusedValue,
        Self::BadDraw,
        Self::UnknownPlaceholder,
        Self::NotFourHints,
        Self::TooClose,
    ];

    /// Its short name, e.g. `unknown-key`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::UnreadableFile => "unreadable-file",
            Self::NoLessonBlock => "no-lesson-block",
            Self::UnknownBlock => "unknown-block",
            Self::UnclosedBlock => "unclosed-block",
            Self::IndentedBlock => "indented-block",
            Self::BadToml => "bad-toml",
            Self::UnknownKey => "unknown-key",
            Self::MissingKey => "missing-key",
            Self::WrongType => "wrong-type",
            Self::BadName => "bad-name",
            Self::DuplicateName => "duplicate-name",
            Self::UnknownWord => "unknown-word",
            Self::UnknownSetup => "unknown-setup",
            Self::BadParameter => "bad-parameter",
            Self::UnknownColumn => "unknown-column",
            Self::UnknownScale => "unknown-scale",
            Self::UnknownReading => "unknown-reading",
            Self::UnknownPicture => "unknown-picture",
            Self::BoardDoesNotFit => "board-does-not-fit",
            Self::BadQuantity => "bad-quantity",
            Self::EmptyRange => "empty-range",
            Self::OutOfRange => "out-of-range",
            Self::NotOneRight => "not-one-right",
            Self::AnswerNotComputable => "answer-not-computable",
            Self::AnswerOutsideChart => "answer-outside-chart",
            Self::BadFormula => "bad-formula",
            Self::BlankLineInFormula => "blank-line-in-formula",
            Self::RawHtml => "raw-html",
            Self::Image => "image",
            Self::HeadingLevel => "heading-level",
            Self::TextBeforeHeading => "text-before-heading",
            Self::BrokenLink => "broken-link",
            Self::DuplicateSlug => "duplicate-slug",
            Self::DuplicateNumber => "duplicate-number",
            Self::NoAssignmentBlock => "no-assignment-block",
            Self::UnusedValue => "unused-value",
            Self::BadDraw => "bad-draw",
            Self::UnknownPlaceholder => "unknown-placeholder",
            Self::NotFourHints => "not-four-hints",
            Self::TooClose => "answers-too-close",
        }
    }
}

/// One mistake in a lesson file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// What kind of mistake it is.
    pub mistake: Mistake,
    /// The bytes at fault.
    pub span: Range<usize>,
    /// Line of the first of them, counted from 1.
    pub line: usize,
    /// Column of the first of them in characters, counted from 1.
    pub column: usize,
    /// What is wrong.
    pub message: String,
    /// How to mend it.
    pub mend: String,
}

/// Collects mistakes and works out where they are.
#[derive(Debug)]
pub(crate) struct Diagnostics<'a> {
    source: &'a str,
    line_starts: Vec<usize>,
    list: Vec<Diagnostic>,
}

impl<'a> Diagnostics<'a> {
    /// None yet, for that source text.
    pub(crate) fn new(source: &'a str) -> Self {
        let line_starts = std::iter::once(0)
            .chain(source.match_indices('\n').map(|(at, _)| at + 1))
            .collect();
        Self {
            source,
            line_starts,
            list: Vec::new(),
        }
    }

    /// The text that the places refer to.
    pub(crate) fn source(&self) -> &'a str {
        self.source
    }

    /// How many have been found.
    pub(crate) fn count(&self) -> usize {
        self.list.len()
    }

    /// The line of a byte, counted from 1.
    pub(crate) fn line_of(&self, at: usize) -> usize {
        self.line_starts
            .partition_point(|start| *start <= at)
            .max(1)
    }

    /// Notes one mistake. The span is cut to the source and to whole characters.
    pub(crate) fn add(
        &mut self,
        mistake: Mistake,
        span: Range<usize>,
        message: impl Into<String>,
        mend: impl Into<String>,
    ) {
        let start = whole_character(self.source, span.start);
        let end = whole_character(self.source, span.end.max(start));
        let line = self.line_of(start);
        let line_start = self.line_starts.get(line - 1).copied().unwrap_or(0);
        let column = self
            .source
            .get(line_start..start)
            .map_or(1, |before| before.chars().count() + 1);
        self.list.push(Diagnostic {
            mistake,
            span: start..end,
            line,
            column,
            message: message.into(),
            mend: mend.into(),
        });
    }

    /// All of them, in the order of the file; exact repetitions are dropped.
    pub(crate) fn finish(mut self) -> Vec<Diagnostic> {
        self.list
            .sort_by_key(|diagnostic| (diagnostic.span.start, diagnostic.span.end));
        self.list.dedup();
        self.list
    }
}

/// The nearest character boundary at or below a byte position, within the text.
fn whole_character(source: &str, at: usize) -> usize {
    let mut at = at.min(source.len());
    while !source.is_char_boundary(at) {
        at -= 1;
    }
    at
}
