//! A file and its blocks: what begins and ends them, their TOML, keys, names and computed values.

use super::{CHART, Case, DEVICES, HEAD, VALUE, lesson, sketch};
use coldfringe::lesson::Mistake;

/// A text for each way to go wrong there.
pub(super) fn cases() -> Vec<Case> {
    let tern = "setup = \"tern\"\n";
    vec![
        (
            format!("{DEVICES}## S\ntext\n"),
            Mistake::NoLessonBlock,
            "",
            "three backticks",
        ),
        (
            format!("## S\ntext\n{HEAD}"),
            Mistake::NoLessonBlock,
            "```lesson",
            "top",
        ),
        (
            lesson("At @{nowhere} it is zero.\n"),
            Mistake::UnknownPlaceholder,
            "@{nowhere}",
            "`value nowhere`",
        ),
        (
            lesson(&format!("{VALUE}No word of it.\n")),
            Mistake::UnusedValue,
            "```value zero",
            "`@{zero}`",
        ),
        (
            lesson(&format!("{}At @{{zero}}.\n", VALUE.replace("mT", "uA"))),
            Mistake::BadQuantity,
            "\"uA\"",
            "`T`",
        ),
        (
            // The place is right beyond a value that is longer than its placeholder.
            lesson(&format!("{VALUE}At @{{zero}} [there](#nowhere).\n")),
            Mistake::BrokenLink,
            "[there](#nowhere)",
            "",
        ),
        (
            lesson("```predikt p\n```\n"),
            Mistake::UnknownBlock,
            "```predikt p",
            "`predict`",
        ),
        (
            lesson("```text\nx\n"),
            Mistake::UnclosedBlock,
            "```text",
            "```",
        ),
        (
            lesson(" ```caution\n a\n ```\n"),
            Mistake::IndentedBlock,
            "```caution",
            "begin the line",
        ),
        (
            lesson(&sketch(tern, "chart = \n")),
            Mistake::BadToml,
            "",
            "key = value",
        ),
        (
            lesson(&sketch("setup = \"tern\"\nraesons = []\n", CHART)),
            Mistake::UnknownKey,
            "raesons",
            "`reasons`",
        ),
        (
            lesson(&sketch(
                "setup = \"tern\"\nreasons = [\"A.\", \"B.\"]\nbecause = [\"C.\"]\n",
                CHART,
            )),
            Mistake::UnknownWord,
            "\"C.\"",
            "as it stands there",
        ),
        (
            lesson(&sketch(tern, "")),
            Mistake::MissingKey,
            "```predict p",
            "add `chart",
        ),
        (
            lesson(&sketch("setup = \"tern\"\ncolumns = \"many\"\n", CHART)),
            Mistake::WrongType,
            "\"many\"",
            "whole number",
        ),
        (
            lesson(&sketch("setup = \"tern\"\ncolumns = 1\n", CHART)),
            Mistake::OutOfRange,
            "1",
            "2 to 65",
        ),
        (
            lesson("```predict\nkind = \"sketch\"\n```\n"),
            Mistake::BadName,
            "```predict",
            "one name",
        ),
        (
            lesson("```predict A_b\nkind = \"sketch\"\n```\n"),
            Mistake::BadName,
            "A_b",
            "small letters",
        ),
        (
            lesson(&format!("{0}{0}", sketch(tern, CHART))),
            Mistake::DuplicateName,
            "p",
            "another name",
        ),
        (
            lesson("```setup tern\nkind = \"screened-loop\"\n```\n"),
            Mistake::DuplicateName,
            "tern",
            "another name",
        ),
        (
            lesson("```predict p\nkind = \"scetch\"\nprompt = \"D\"\nsetup = \"tern\"\n```\n"),
            Mistake::UnknownWord,
            "\"scetch\"",
            "`sketch`",
        ),
    ]
}
