//! What is said after a commitment or a try, shown in its place. The words are made by the
//! prediction room; here they only become elements.

use web_sys::{Element, HtmlElement};

use super::dom;
use super::trouble::Outcome;
use crate::prediction::assess::{Assessment, Verdict};
use crate::prediction::confidence::{Confidence, sure_but_different};
use crate::prediction::mark::MarkAssessment;
use crate::prediction::number::{NumberAssessment, NumberVerdict};
use crate::prediction::outcome::Came;
use crate::prediction::pick::PickAssessment;
use crate::prediction::pictures;

/// What is said.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Said {
    /// The first sentence; also what is announced.
    pub(crate) headline: String,
    /// What matches, in sentences.
    pub(crate) matches: Vec<String>,
    /// What differs, in sentences, the most important first.
    pub(crate) differences: Vec<String>,
    /// A question back to the reader, and where to look.
    pub(crate) questions: Vec<String>,
    /// Remarks on how the answer was read.
    pub(crate) notes: Vec<String>,
    /// Pictures to choose from when the page cannot tell which was meant: name and words.
    pub(crate) which: Vec<(String, String)>,
    /// The reply written in the lesson for the chosen option.
    pub(crate) reply: Option<HtmlElement>,
    /// What the reader committed, in words.
    pub(crate) committed: String,
    /// What came of a committed prediction; none for anything else, or when it cannot be read.
    pub(crate) came: Option<Came>,
    /// What was committed in earlier attempts, oldest first.
    pub(crate) earlier: Vec<String>,
}

/// Shows what is said in `place`; returns the buttons of "which did you mean?", with their names.
pub(crate) fn show(place: &HtmlElement, said: &Said) -> Outcome<Vec<(HtmlElement, String)>> {
    place.set_text_content(None);
    // In a lecture the only heading above it is the screen's own.
    let is_lecture = place.closest("main.lecture")?.is_some();
    let heading = if is_lecture { "h2" } else { "h4" };
    dom::append(place, heading, "headline", &said.headline)?;
    if !said.committed.is_empty() {
        dom::append(place, "p", "committed", &said.committed)?;
    }
    for note in &said.notes {
        dom::append(place, "p", "note", note)?;
    }
    list(place, "matches", &said.matches)?;
    list(place, "differences", &said.differences)?;
    for question in &said.questions {
        dom::append(place, "p", "question", question)?;
    }
    if let Some(reply) = &said.reply {
        // The reply is copied, so that a refresh finds the original where it was.
        let copy = reply.clone_node_with_deep(true)?;
        place.append_child(&copy)?;
        if let Some(copy) = place.last_element_child() {
            dom::show(&copy, true);
        }
    }
    if !said.earlier.is_empty() {
        dom::append(place, "p", "earlier", "Earlier attempts at this:")?;
        list(place, "earlier", &said.earlier)?;
    }
    let mut buttons = Vec::new();
    if !said.which.is_empty() {
        dom::append(place, "p", "which", "Which of these did you mean?")?;
        let row = dom::append(place, "p", "which-buttons", "")?;
        for (name, words) in &said.which {
            buttons.push((dom::button(&row, "", words)?, name.clone()));
        }
    }
    dom::show(place, true);
    Ok(buttons)
}

fn list(place: &Element, class: &str, sentences: &[String]) -> Outcome {
    if sentences.is_empty() {
        return Ok(());
    }
    let list = dom::append(place, "ul", class, "")?;
    for sentence in sentences {
        dom::append(&list, "li", "", sentence)?;
    }
    Ok(())
}

/// How sure the reader was, in words.
fn committed(what: &str, sure: Confidence) -> String {
    let sure = match sure {
        Confidence::Guess => " as a guess",
        Confidence::FairlySure => ", and were fairly sure",
        Confidence::Certain => ", and were certain",
    };
    format!("You committed {what}{sure}.")
}

fn questions(question: Option<&str>, look_at: Option<&str>) -> Vec<String> {
    question
        .into_iter()
        .chain(look_at)
        .map(str::to_owned)
        .collect()
}

/// What is said about a sketch. `meant` is the picture that the reader said was meant.
pub(crate) fn of_sketch(
    assessment: &Assessment,
    names: (&str, &str),
    sure: Confidence,
    meant: Option<&str>,
) -> Said {
    let mut said = Said {
        headline: assessment.headline.clone(),
        matches: assessment.matches.clone(),
        differences: assessment.differences.clone(),
        questions: questions(assessment.question, assessment.look_at),
        committed: committed("this curve", sure),
        came: Some(Came::of(&assessment.verdict, meant)),
        ..Said::default()
    };
    if let Some(words) = sure_but_different(sure, &assessment.verdict, assessment.place.as_deref())
    {
        said.questions.insert(0, words);
    }
    if let Verdict::Ask(options) = &assessment.verdict {
        let words = |picture: &str| {
            pictures::find(names.0, names.1, picture).map_or_else(
                || "the computed curve, as well as I can draw".to_owned(),
                |known| known.words.to_owned(),
            )
        };
        match meant {
            // Once the reader has said what was meant, that picture is spoken of.
            Some(meant) => match pictures::find(names.0, names.1, meant) {
                Some(known) => {
                    said.headline = format!("You meant {}.", known.words);
                    said.questions = questions(Some(known.question), Some(known.look_at));
                }
                None => {
                    said.headline =
                        "You meant the computed curve: as close as a hand can draw.".to_owned()
                }
            },
            None => {
                said.which = options
                    .iter()
                    .map(|picture| ((*picture).to_owned(), words(picture)))
                    .collect();
                said.which
                    .push(("none".to_owned(), "something else".to_owned()));
            }
        }
        if meant == Some("none") {
            said.headline.clone_from(&assessment.headline);
        }
    }
    said
}

/// What is said about a choice among statements.
pub(crate) fn of_choice(
    right: bool,
    sure: Confidence,
    right_text: Option<&str>,
    reply: Option<HtmlElement>,
) -> Said {
    let mut said = Said {
        committed: committed("this choice", sure),
        reply,
        came: Some(if right {
            Came::AsPredicted
        } else {
            Came::Differently
        }),
        ..Said::default()
    };
    if right {
        said.headline = "That is what happens.".to_owned();
    } else {
        said.headline = "Something else happens.".to_owned();
        said.differences
            .extend(right_text.map(|text| format!("What happens: {text}")));
        said.questions
            .extend(sure_but_different(sure, &Verdict::Different, None));
    }
    said
}

/// What is said about an observation, or about something recalled.
pub(crate) fn of_observation(right: bool, recall: bool, reply: Option<HtmlElement>) -> Said {
    let headline = match (right, recall) {
        (true, false) => "Yes, that is on the chart.",
        (false, false) => "Look again: move the cursor there.",
        (true, true) => "Yes, you remember it.",
        (false, true) => "Not this one. Think back, and choose again.",
    };
    Said {
        headline: headline.to_owned(),
        reply,
        ..Said::default()
    }
}

/// What is said about a choice among curves.
pub(crate) fn of_curve(
    assessment: &PickAssessment,
    chosen: &str,
    right: &str,
    sure: Confidence,
) -> Said {
    let mut said = Said {
        headline: assessment.headline.clone(),
        questions: questions(assessment.question, assessment.look_at),
        committed: committed(&format!("curve {chosen}"), sure),
        came: Some(Came::of(&assessment.verdict, None)),
        ..Said::default()
    };
    if assessment.verdict != Verdict::Right {
        said.differences
            .push(format!("The computed curve is curve {right}."));
        if let Some(words) = sure_but_different(sure, &assessment.verdict, None) {
            said.questions.insert(0, words);
        }
    }
    said
}

/// What is said about a marker.
pub(crate) fn of_mark(assessment: &MarkAssessment, sure: Confidence) -> Said {
    let mut said = Said {
        headline: assessment.headline.clone(),
        questions: questions(assessment.question, assessment.look_at),
        committed: committed("this place", sure),
        came: Some(Came::of(&assessment.verdict, None)),
        ..Said::default()
    };
    match assessment.verdict {
        Verdict::Right | Verdict::Near => said.matches.push(assessment.places.clone()),
        _ => said.differences.push(assessment.places.clone()),
    }
    if let Some(words) = sure_but_different(sure, &assessment.verdict, None) {
        said.questions.insert(0, words);
    }
    said
}

/// The computed value in a sentence.
fn is_computed(truth: &str) -> String {
    format!("The computed value is {truth}.")
}

/// What is said about a number that nobody answered: the computed value, in words.
pub(crate) fn of_truth(truth: &str) -> Said {
    Said {
        headline: is_computed(truth),
        ..Said::default()
    }
}

/// What is said about a number: a try at a question, or (with the computed value) a prediction.
pub(crate) fn of_number(
    assessment: &NumberAssessment,
    truth: Option<&str>,
    sure: Option<Confidence>,
) -> Said {
    let truth = truth.map(is_computed);
    let is_right = assessment.verdict == NumberVerdict::Right;
    let (matches, differences): (Vec<_>, Vec<_>) = truth.into_iter().partition(|_| is_right);
    let questions = sure
        .filter(|_| !is_right)
        .and_then(|sure| sure_but_different(sure, &Verdict::Different, None));
    Said {
        headline: assessment.headline.clone(),
        matches,
        differences,
        questions: questions.into_iter().collect(),
        notes: assessment
            .read_as
            .iter()
            .chain(&assessment.notes)
            .cloned()
            .collect(),
        committed: sure
            .map(|sure| committed("this value", sure))
            .unwrap_or_default(),
        came: sure.map(|_| match assessment.verdict {
            NumberVerdict::Right => Came::AsPredicted,
            _ => Came::Differently,
        }),
        ..Said::default()
    }
}
