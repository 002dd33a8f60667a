//! The text between the blocks: formulas, headings, links, what it may not hold.

use super::{Case, HEAD, lesson, question};
use coldfringe::lesson::Mistake;

/// A text for each way to go wrong there.
pub(super) fn cases() -> Vec<Case> {
    let number = "setup = \"tern\"\nanswer = { reading = \"first-zero\" }\nwithin = 0.02\n";
    vec![
        (
            lesson("```caution\nstandard = \"criogens\"\n```\n"),
            Mistake::UnknownWord,
            "\"criogens\"",
            "`cryogens`",
        ),
        (
            lesson("a $\\Phi_$ b\n"),
            Mistake::BadFormula,
            "$\\Phi_$",
            "braces",
        ),
        (
            lesson("a $$x b\n"),
            Mistake::BadFormula,
            "$$",
            "end the formula",
        ),
        (
            lesson("| a | b |\n|---|---|\n| $|x|$ | c |\n"),
            Mistake::BadFormula,
            "$",
            "\\lvert",
        ),
        (
            lesson("$\\def\\x{\\x}\\x$\n"),
            Mistake::BadFormula,
            "$\\def\\x{\\x}\\x$",
            "write the formula out",
        ),
        (
            lesson(&question(&format!(
                "{number}unit = \"mT\"\nhints = ['ab $x^$']\n"
            ))),
            Mistake::BadFormula,
            "$x^$",
            "braces",
        ),
        (
            lesson("$$a\n\nb$$\n"),
            Mistake::BlankLineInFormula,
            "$$a\n\nb$$",
            "blank line",
        ),
        (
            lesson("a <b>c</b>\n").replace("</b>", ""),
            Mistake::RawHtml,
            "<b>",
            "backticks",
        ),
        (
            lesson("![a](b.png)\n"),
            Mistake::Image,
            "![a](b.png)",
            "board",
        ),
        (lesson("# Big\n"), Mistake::HeadingLevel, "# Big\n", "## "),
        (
            lesson("text\n---\n"),
            Mistake::HeadingLevel,
            "text\n---\n",
            "blank line",
        ),
        (
            format!("{HEAD}text\n## S\n"),
            Mistake::TextBeforeHeading,
            "text",
            "## ",
        ),
        (
            lesson("[a](#stop)\n"),
            Mistake::BrokenLink,
            "[a](#stop)",
            "`step`",
        ),
        (
            lesson("[a](javascript:x)\n"),
            Mistake::BrokenLink,
            "[a](javascript:x)",
            "https",
        ),
    ]
}
