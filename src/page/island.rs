//! The markup of a live block, written at build time: prompt, form, empty places for the chart
//! and the board picture, and the block's JSON. It reads as plain text without the script; the
//! script fills the places and answers the form. Nothing computed stands in it.

use super::html::escape;
use super::islands::{self, IslandWords};
use super::symbols::{marked, plain};
use crate::experiment::descriptions;
use crate::lesson::spec::{
    Ask, Bench, Block, NumberSpec, Observation, Paint, Prediction, Question, Statement,
};
use crate::prediction::confidence::Confidence;
use crate::quantity::shown_unit;

/// The markup of one block. `lesson` is the lesson's slug; `words` are the block's texts as HTML.
#[must_use]
pub fn render(lesson: &str, block: &Block, words: &IslandWords) -> String {
    let id = escape(&format!("{lesson}-{}", block.id()));
    let (name, title, body) = match block {
        Block::Predict(prediction) => (
            "predict",
            predict_title(&prediction.ask),
            predict(&id, prediction, words),
        ),
        Block::Observe(observation) => (
            "observe",
            if observation.recall {
                "From last time"
            } else {
                "What did you see?"
            },
            observe(&id, observation, words),
        ),
        Block::Bench(bench) => ("bench", "On the bench", bench_body(&id, bench, words)),
        Block::Question(question) => (
            "question",
            "Work it out",
            question_body(&id, question, words),
        ),
        Block::Board(_) => ("board", "On the board", stage(true, false)),
        Block::Record(_) => ("record", "The record", stage(false, true)),
    };
    format!(
        "<section class=\"island island-{name}\" id=\"{id}\" {kind}=\"{name}\" {block_id}=\"{own}\" role=\"group\" aria-labelledby=\"{id}-title\">\
         <h3 class=\"island-title\" id=\"{id}-title\">{title}</h3>{body}\
         <script type=\"application/json\" {spec}>{json}</script></section>\n",
        kind = islands::ISLAND,
        block_id = islands::BLOCK_ID,
        own = escape(block.id()),
        spec = islands::SPEC,
        json = islands::island_json(block),
    )
}

fn predict_title(ask: &Ask) -> &'static str {
    match ask {
        Ask::Sketch { .. } => "Before you see it: draw it",
        Ask::PickCurve { .. } | Ask::PickStatement { .. } => "Before you see it: choose",
        Ask::MarkAxis { .. } | Ask::MarkBoard { .. } => "Before you see it: point to it",
        Ask::Number(_) => "Before you see it: put a number to it",
    }
}

/// The place of the board picture and the chart. The script fills it.
fn stage(board: bool, chart: bool) -> String {
    let mut html = String::from("<div class=\"stage\" data-role=\"stage\">");
    if board {
        html.push_str("<figure class=\"board\" data-role=\"board\"></figure>");
    }
    if chart {
        html.push_str("<figure class=\"chart\" data-role=\"chart\"></figure>");
    }
    html.push_str("</div>");
    html
}

fn prompt(words: &IslandWords) -> String {
    format!("<div class=\"prompt\">{}</div>", words.prompt_html)
}

fn predict(id: &str, prediction: &Prediction, words: &IslandWords) -> String {
    let mut html = prompt(words);
    let has_chart = matches!(
        prediction.ask,
        Ask::Sketch { .. } | Ask::PickCurve { .. } | Ask::MarkAxis { .. }
    );
    if has_chart || prediction.board.is_some() {
        html.push_str(&stage(prediction.board.is_some(), has_chart));
    }
    html.push_str("<form class=\"answer\" data-role=\"form\">");
    match &prediction.ask {
        Ask::Sketch { .. } => html.push_str("<div class=\"tools\" data-role=\"tools\"></div>"),
        Ask::PickCurve { .. } => html.push_str("<fieldset class=\"choice curves\" data-role=\"options\"><legend>Which curve?</legend></fieldset>"),
        Ask::PickStatement { options, .. } => html.push_str(&statements(id, "Which is it?", options)),
        Ask::MarkBoard { options, .. } => html.push_str(&statements(id, "Which part?", options)),
        Ask::MarkAxis { chart, .. } => html.push_str(&format!(
            "<div class=\"field\"><label for=\"{id}-mark\">Place of the marker</label>\
             <input type=\"range\" id=\"{id}-mark\" data-role=\"mark\" min=\"{from}\" max=\"{to}\" step=\"{step}\" value=\"{from}\">\
             <output data-role=\"mark-value\" for=\"{id}-mark\">not placed yet</output></div>",
            from = chart.x.from,
            to = chart.x.to,
            step = (chart.x.to - chart.x.from) / 400.0,
        )),
        Ask::Number(number) => html.push_str(&number_field(id, number)),
    }
    if !prediction.reasons.is_empty() {
        html.push_str("<fieldset class=\"choice\" data-role=\"reasons\"><legend>What makes you think so?</legend>");
        for (index, reason) in prediction.reasons.iter().enumerate() {
            html.push_str(&radio(
                &format!("{id}-reason"),
                &index.to_string(),
                &escape(reason),
            ));
        }
        html.push_str("</fieldset>");
    }
    html.push_str(
        "<fieldset class=\"choice sure\" data-role=\"sure\"><legend>How sure are you?</legend>",
    );
    for sure in Confidence::ALL {
        html.push_str(&radio(&format!("{id}-sure"), sure.name(), sure.words()));
    }
    html.push_str(
        "</fieldset><p class=\"problem\" data-role=\"problem\" role=\"alert\"></p>\
         <p class=\"commit\"><button type=\"submit\" class=\"primary\" data-role=\"commit\">Commit this prediction</button></p>\
         <div class=\"confirm\" data-role=\"confirm\" hidden><p>Once committed it stays as it is, beside the computed curve. \
         Mistaken predictions teach most.</p>\
         <button type=\"button\" class=\"primary\" data-role=\"confirm-yes\">Commit and reveal</button> \
         <button type=\"button\" data-role=\"confirm-no\">Keep working on it</button></div></form>",
    );
    html.push_str(&verdict_place());
    html.push_str(&replies(words));
    html
}

/// Where what the model says is shown.
pub(crate) fn verdict_place() -> String {
    "<div class=\"verdict\" data-role=\"verdict\" role=\"group\" aria-label=\"What the model says\" tabindex=\"-1\" hidden></div>\
     <p class=\"live\" data-role=\"live\" role=\"status\"></p>"
        .to_owned()
}

fn replies(words: &IslandWords) -> String {
    let mut html = String::new();
    for (option, reply) in &words.replies_html {
        html.push_str(&format!(
            "<div class=\"reply\" data-reply=\"{}\" hidden>{reply}</div>",
            escape(option)
        ));
    }
    html
}

fn radio(group: &str, value: &str, words: &str) -> String {
    format!(
        "<label class=\"option\"><input type=\"radio\" name=\"{group}\" value=\"{}\"><span>{words}</span></label>",
        escape(value)
    )
}

fn statements(id: &str, legend: &str, options: &[Statement]) -> String {
    let mut html =
        format!("<fieldset class=\"choice\" data-role=\"options\"><legend>{legend}</legend>");
    for option in options {
        html.push_str(&radio(
            &format!("{id}-option"),
            &option.id,
            &escape(&option.text),
        ));
    }
    html.push_str("</fieldset>");
    html
}

/// The box for a number with its unit.
pub(crate) fn number_field(id: &str, number: &NumberSpec) -> String {
    let unit = escape(&shown_unit(&number.unit));
    let unit_words = if number.unit.is_empty() {
        String::new()
    } else {
        format!(", in {unit} unless you type another unit")
    };
    format!(
        "<div class=\"field\"><label for=\"{id}-number\">Your value{unit_words}</label>\
         <input type=\"text\" id=\"{id}-number\" data-role=\"number\" autocomplete=\"off\" autocapitalize=\"off\" spellcheck=\"false\" \
         maxlength=\"400\" aria-describedby=\"{id}-echo {id}-within\">\
         <span class=\"within\" id=\"{id}-within\">judged within {within} %</span>\
         <output class=\"echo\" id=\"{id}-echo\" data-role=\"echo\"></output></div>",
        within = (number.within * 1000.0).round() / 10.0,
    )
}

fn observe(id: &str, observation: &Observation, words: &IslandWords) -> String {
    format!(
        "{}<form class=\"answer\" data-role=\"form\">{}<p class=\"problem\" data-role=\"problem\" role=\"alert\"></p>\
         <p class=\"commit\"><button type=\"submit\" data-role=\"check\">Check</button></p></form>{}{}",
        prompt(words),
        statements(id, "Choose one", &observation.options),
        verdict_place(),
        replies(words),
    )
}

fn question_body(id: &str, question: &Question, words: &IslandWords) -> String {
    let mut hints = String::new();
    for (index, hint) in words.hints_html.iter().enumerate() {
        hints.push_str(&format!(
            "<details class=\"hint\"><summary>Hint {}</summary>{hint}</details>",
            index + 1
        ));
    }
    format!(
        "{}<form class=\"answer\" data-role=\"form\">{}<p class=\"problem\" data-role=\"problem\" role=\"alert\"></p>\
         <p class=\"commit\"><button type=\"submit\" data-role=\"check\">Check</button></p></form>{}{hints}",
        prompt(words),
        number_field(id, &question.number),
        verdict_place(),
    )
}

/// The paper of a painted profile with its tools, and the chart that follows it.
fn painting(paint: &Paint) -> String {
    let mut html = String::from(
        "<div class=\"stage\" data-role=\"stage\"><div class=\"painting\" data-role=\"painting\">\
         <figure class=\"chart\" data-role=\"paper\"></figure>\
         <div class=\"tools\" data-role=\"paint-tools\">\
         <p class=\"how\">Paint across the paper, or tap a strip. <span class=\"keys\">With the keyboard: left and right choose a strip, \
         up and down change it, Delete empties it.</span></p>\
         <button type=\"button\" data-paint=\"undo\">Undo</button>\
         <button type=\"button\" data-paint=\"clear\">Clear</button>\
         <button type=\"button\" data-paint=\"mirror\">Right half like the left</button>",
    );
    if !paint.presets.is_empty() {
        html.push_str("<p class=\"how\">Or begin with a profile:</p>");
    }
    for preset in &paint.presets {
        html.push_str(&format!(
            "<button type=\"button\" data-paint=\"set\" data-profile=\"{name}\">{words}</button>",
            name = escape(preset),
            words = profile_words(preset),
        ));
    }
    html.push_str("</div></div><figure class=\"chart\" data-role=\"chart\"></figure></div>");
    html
}

/// What the button of a profile says; densities written out have no name.
fn profile_words(name: &str) -> &'static str {
    match name {
        "uniform" => "Even",
        "circular" => "Round",
        "triangular" => "Triangle",
        "half-cosine" => "Arch",
        "edge-heavy" => "Strong edges",
        _ => "Another",
    }
}

fn bench_body(id: &str, bench: &Bench, words: &IslandWords) -> String {
    let mut html = prompt(words);
    if let Some(paint) = &bench.paint {
        html.push_str(&painting(paint));
    } else {
        html.push_str(&stage(bench.board.is_some(), true));
    }
    html.push_str("<div class=\"sliders\">");
    for (index, slider) in bench.sliders.iter().enumerate() {
        // A pure number has no unit.
        let unit = escape(&shown_unit(&slider.unit));
        let (shown, spoken) = if unit.is_empty() {
            (String::new(), String::new())
        } else {
            (
                format!(" <span class=\"unit\">({unit})</span>"),
                format!(", in {unit}"),
            )
        };
        html.push_str(&format!(
            "<div class=\"slider\"><label for=\"{id}-slider-{index}\">{label}{shown}</label>\
             <input type=\"range\" id=\"{id}-slider-{index}\" data-slider=\"{index}\" min=\"{from}\" max=\"{to}\" step=\"{step}\">\
             <input type=\"number\" data-slider-number=\"{index}\" min=\"{from}\" max=\"{to}\" step=\"any\" aria-label=\"{label}{spoken}\"></div>",
            label = escape(&slider.label),
            from = slider.from,
            to = slider.to,
            step = slider.step,
        ));
    }
    // Where nothing can be moved there is nothing to hold or to put back.
    let still = if bench.sliders.is_empty() && bench.paint.is_none() {
        " hidden"
    } else {
        ""
    };
    html.push_str(&format!(
        "</div><p class=\"bench-tools\"{still}><button type=\"button\" data-role=\"hold\">Hold this trace</button> \
         <button type=\"button\" data-role=\"reset\">Back to the start</button></p><dl class=\"readings\" data-role=\"readings\">{}</dl>",
        readings(bench),
    ));
    if !bench.challenges.is_empty() {
        html.push_str("<h4>Try this</h4><ol class=\"challenges\" data-role=\"challenges\">");
        for (index, challenge) in bench.challenges.iter().enumerate() {
            html.push_str(&format!(
                "<li data-challenge=\"{index}\"><span class=\"task\">{}</span> <span class=\"met\" data-role=\"met\"></span></li>",
                escape(&challenge.text)
            ));
        }
        html.push_str("</ol>");
    }
    html.push_str("<p class=\"live\" data-role=\"live\" role=\"status\"></p>");
    html
}

/// The places of a bench's readings, in the order in which it names them. One is shown once the
/// run has it.
fn readings(bench: &Bench) -> String {
    let kind = &bench.setup.kind;
    let device = descriptions().iter().find(|known| known.kind == kind);
    let mut html = String::new();
    for name in &bench.readings {
        let known = device.and_then(|device| device.reading(name));
        let (label, more) = known.map_or(("", ""), |known| known.label_and_more());
        html.push_str(&format!(
            "<div hidden><dt title=\"{whole}\">{label}<span class=\"more\">{more}</span></dt><dd></dd></div>",
            whole = escape(&plain(&format!("{label}{more}"))),
            label = marked(label),
            more = marked(more),
        ));
    }
    html
}
