//! `coldfringe setups`: every set-up with its parameters, units, ranges, columns and readings.

use coldfringe::experiment::{ParameterDescription, ParameterKind, SetupDescription, descriptions};
use coldfringe::quantity::show;
use coldfringe::spelling;

use crate::say;

/// Which set-ups to describe.
#[derive(Debug, clap::Args)]
pub(crate) struct Options {
    /// Only these set-ups [default: all].
    setups: Vec<String>,
}

/// Runs the command.
pub(crate) fn execute(options: &Options) -> anyhow::Result<()> {
    for name in &options.setups {
        anyhow::ensure!(
            descriptions().iter().any(|known| known.kind == name),
            "there is no set-up \"{name}\"; {}",
            spelling::mend(name, descriptions().iter().map(|known| known.kind))
        );
    }
    let mut text = String::new();
    for description in descriptions() {
        if options.setups.is_empty() || options.setups.iter().any(|name| name == description.kind) {
            if !text.is_empty() {
                text.push_str("\n\n");
            }
            text.push_str(&describe(description));
        }
    }
    say::line(&text);
    Ok(())
}

fn describe(description: &SetupDescription) -> String {
    let mut lines = vec![
        format!("{}: {}", description.kind, description.summary),
        "  parameters".to_string(),
    ];
    for parameter in description.parameters {
        lines.push(format!(
            "    {} [{}] = {}  ({})",
            parameter.name,
            parameter.unit,
            parameter.default,
            range(parameter)
        ));
        lines.push(format!("        {}", parameter.words));
    }
    let all_x = std::iter::once(&description.x).chain(description.other_x);
    for (place, x) in all_x.enumerate() {
        let start = if place == 0 { "x:" } else { "or" };
        lines.push(format!("  {start} {}[{}]  {}", x.name, x.unit, x.words));
    }
    lines.push("  columns".to_string());
    for column in description.columns {
        lines.push(format!(
            "    {}[{}]  {}",
            column.name, column.unit, column.words
        ));
    }
    lines.push("  readings".to_string());
    for reading in description.readings {
        lines.push(format!(
            "    {}[{}]  {}",
            reading.name, reading.unit, reading.words
        ));
    }
    lines.join("\n")
}

fn range(parameter: &ParameterDescription) -> String {
    let from = show(parameter.from, parameter.unit, 3);
    let to = show(parameter.to, parameter.unit, 3);
    match parameter.kind {
        ParameterKind::Quantity => format!("from {from} to {to}"),
        ParameterKind::Whole => format!(
            "whole, from {} to {}",
            show(parameter.from, "", 1),
            show(parameter.to, "", 2)
        ),
        ParameterKind::Quantities => format!("one or a list, each from {from} to {to}"),
        ParameterKind::Profile => "a name, or a list of numbers".to_string(),
        ParameterKind::Choice(names) => names.join(" or "),
    }
}
