//! Devices and what shows them: set-ups, charts, wrong pictures, board pictures, painting.

use super::{CHART, Case, lesson, sketch};
use coldfringe::lesson::Mistake;

/// A text for each way to go wrong there.
pub(super) fn cases() -> Vec<Case> {
    let tern = "setup = \"tern\"\n";
    let bench = format!("```bench b\nsetup = \"tern\"\n{CHART}");
    vec![
        (
            lesson(&sketch("setup = \"term\"\n", CHART)),
            Mistake::UnknownSetup,
            "\"term\"",
            "`tern`",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", widht = \"5 um\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "widht",
            "width",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", width = \"5 mA\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "\"5 mA\"",
            "length",
        ),
        (
            lesson(&sketch("setup = { is = \"tern\", width = 5 }\n", CHART)),
            Mistake::BadParameter,
            "5",
            "write it in m",
        ),
        (
            lesson(&sketch(
                "setup = { is = \"tern\", width = \"5 km\" }\n",
                CHART,
            )),
            Mistake::BadParameter,
            "\"5 km\"",
            "from",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("critical", "critcal"))),
            Mistake::UnknownColumn,
            "\"critcal-current\"",
            "`critical-current`",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("junction-flux", "loop-flux"))),
            Mistake::UnknownScale,
            "\"loop-flux\"",
            "`junction-flux`",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("relative", "mT"))),
            Mistake::UnknownScale,
            "\"mT\"",
            "unit",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("from = -3", "from = 4"))),
            Mistake::EmptyRange,
            "{ scale = \"junction-flux\", from = 4, to = 3 }",
            "below",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("to = 3 ", "to = inf "))),
            Mistake::OutOfRange,
            "inf",
            "ordinary number",
        ),
        (
            lesson(&sketch(tern, &CHART.replace("to = 1.1", "to = 0.9"))),
            Mistake::AnswerOutsideChart,
            "{ scale = \"relative\", from = 0, to = 0.9 }",
            "widen",
        ),
        (
            lesson(&sketch("setup = \"tern\"\npictures = [\"shadw\"]\n", CHART)),
            Mistake::UnknownPicture,
            "\"shadw\"",
            "`shadow`",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nboard = \"loop\"\n", CHART)),
            Mistake::BoardDoesNotFit,
            "\"loop\"",
            "`junction`",
        ),
        (
            lesson(&format!(
                "```setup godwit\nkind = \"profile-from-pattern\"\n```\n{}",
                sketch(
                    "setup = \"godwit\"\nboard = \"junction\"\n",
                    "[chart]\ncolumn = \"current-density-true\"\nx = { scale = \"width\", from = -0.5, to = 0.5 }\ny = { scale = \"relative\", from = 0, to = 1.1 }\n"
                )
            )),
            Mistake::BoardDoesNotFit,
            "```predict p",
            "leave `board` out",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"width\"\nstrips = 20\n```\n"
            )),
            Mistake::BadParameter,
            "\"width\"",
            "`profile`",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"profile\"\nstrips = 20\npresets = [\"unifrm\"]\n```\n"
            )),
            Mistake::BadParameter,
            "\"unifrm\"",
            "did you mean \"uniform\"",
        ),
        (
            lesson(&format!(
                "{bench}[paint]\nparameter = \"profile\"\nstrips = 1\n```\n"
            )),
            Mistake::OutOfRange,
            "1",
            "2 to 64",
        ),
        (
            lesson(&format!(
                "```bench b\nsetup = \"tern\"\nboard = \"junction\"\n{CHART}[paint]\nparameter = \"profile\"\nstrips = 20\n```\n"
            )),
            Mistake::BoardDoesNotFit,
            "[paint]",
            "block of its own",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nboard = \"lop\"\n", CHART)),
            Mistake::UnknownWord,
            "\"lop\"",
            "`loop`",
        ),
        (
            lesson("```board b\nsetup = \"pair\"\npicture = \"phasors\"\nat = \"half\"\n```\n"),
            Mistake::BadQuantity,
            "\"half\"",
            "",
        ),
    ]
}
