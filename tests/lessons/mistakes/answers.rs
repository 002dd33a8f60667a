//! Questions and what counts as their answer: numbers, marks, options; sliders and challenges of a bench.

use super::{CHART, Case, OPTIONS, lesson, question};
use coldfringe::lesson::Mistake;

/// A text for each way to go wrong there.
pub(super) fn cases() -> Vec<Case> {
    let number = "setup = \"tern\"\nanswer = { reading = \"first-zero\" }\nwithin = 0.02\n";
    let mark =
        "```predict p\nkind = \"mark-axis\"\nprompt = \"Where?\"\nsetup = \"tern\"\nwithin = 0.1\n";
    let bench = format!("```bench b\nsetup = \"tern\"\n{CHART}");
    let slider = "[[sliders]]\nparameter = \"width\"\nlabel = \"W\"\nunit = \"um\"\nfrom = 2\nto = 20\nstep = 1\n";
    let challenge = "[[challenges]]\ntext = \"T\"\nreading = \"first-zero\"\ntarget = \"0.5 mT\"\nwithin = 0.1\n";
    vec![
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { reading = \"frist-zero\" }\nwithin = 0.02\nunit = \"mT\"\n",
            )),
            Mistake::UnknownReading,
            "\"frist-zero\"",
            "`first-zero`",
        ),
        (
            lesson(&question(&format!("{number}unit = \"uA\"\n"))),
            Mistake::BadQuantity,
            "\"uA\"",
            "try",
        ),
        (
            lesson(&question(&format!(
                "{number}unit = \"mT\"\nslips = [\"factor-3\"]\n"
            ))),
            Mistake::UnknownWord,
            "\"factor-3\"",
            "factor-",
        ),
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { reading = \"first-zero\" }\nunit = \"mT\"\nwithin = 2\n",
            )),
            Mistake::OutOfRange,
            "2",
            "0.02",
        ),
        (
            lesson(&question(
                "setup = \"tern\"\nanswer = { parameter = \"width\", reading = \"first-zero\", equals = \"900 T\" }\nunit = \"um\"\nwithin = 0.02\n",
            )),
            Mistake::AnswerNotComputable,
            "{ parameter = \"width\", reading = \"first-zero\", equals = \"900 T\" }",
            "",
        ),
        (
            lesson(&format!(
                "{mark}answer = {{ reading = \"first-zero\" }}\n{}```\n",
                CHART.replace("from = -3, to = 3", "from = 0, to = 0.9")
            )),
            Mistake::AnswerOutsideChart,
            "{ reading = \"first-zero\" }",
            "widen",
        ),
        (
            lesson(&format!(
                "{mark}answer = {{ reading = \"maximum\" }}\n{CHART}```\n"
            )),
            Mistake::AnswerNotComputable,
            "{ reading = \"maximum\" }",
            "reading in T",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{}```\n",
                OPTIONS.replace("right = true\n", "")
            )),
            Mistake::NotOneRight,
            "```observe o",
            "right = true",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{OPTIONS}right = true\n```\n"
            )),
            Mistake::NotOneRight,
            "",
            "one of them",
        ),
        (
            lesson(&format!(
                "```observe o\nprompt = \"?\"\n{}```\n",
                OPTIONS.replace("\"b\"", "\"a\"")
            )),
            Mistake::DuplicateName,
            "\"a\"",
            "own",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("\"width\"", "\"wdth\"")
            )),
            Mistake::BadParameter,
            "\"wdth\"",
            "`width`",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("from = 2", "from = 15")
            )),
            Mistake::OutOfRange,
            "",
            "slider",
        ),
        (
            lesson(&format!(
                "{bench}{}```\n",
                slider.replace("\"um\"", "\"mA\"")
            )),
            Mistake::BadParameter,
            "",
            "length",
        ),
        (
            lesson(&format!(
                "{bench}{slider}{}```\n",
                challenge.replace("0.5 mT", "0.5 uA")
            )),
            Mistake::BadQuantity,
            "\"0.5 uA\"",
            "field",
        ),
    ]
}
