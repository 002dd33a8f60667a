//! `coldfringe curve`: one set-up's curves as numbers or as a picture.

mod picture;
mod table;

use std::path::PathBuf;

use anyhow::{Context as _, bail};
use coldfringe::experiment::{MOST_POINTS, Setup, SetupSpec, read_place, run};
use coldfringe::figure::Theme;
use coldfringe::quantity::parse_quantity;

use crate::{say, write};

/// What to compute and how to give it.
#[derive(Debug, clap::Args)]
pub(crate) struct Options {
    /// The set-up; `coldfringe setups` lists them.
    setup: String,
    /// Give a parameter a value with its unit, e.g. `--set critical-current="10 uA"`.
    #[arg(long, value_name = "NAME=VALUE")]
    set: Vec<String>,
    /// What to sweep, for a set-up that leaves the choice, e.g. `drive-current` [default: its parameter `sweep`].
    #[arg(long, value_name = "NAME")]
    sweep: Option<String>,
    /// Compute at these values of x only, parted by commas, e.g. `--at "0, 0.1, 0.2 mT"`. A unit at the end
    /// holds for all before it that have none; without any unit they are in the SI unit of x.
    #[arg(long, value_name = "X,X,…", allow_hyphen_values = true)]
    at: Option<String>,
    /// Start of the range of x, e.g. `"-3 mT"` or, for a flux, `0`.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    from: Option<String>,
    /// End of the range of x.
    #[arg(long, value_name = "X", allow_hyphen_values = true)]
    to: Option<String>,
    /// How many points, both ends counted [default: 501; for a picture 4001].
    #[arg(long, value_name = "N", allow_hyphen_values = true)]
    points: Option<String>,
    /// What to write [default: csv, or what the ending of --out says].
    #[arg(long, value_enum)]
    format: Option<Format>,
    /// Write to this file instead of standard output.
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// For csv and json: also the columns that say how far each point can be trusted, or what a sweep back would
    /// give; in csv the method behind each point, too, which json always names.
    #[arg(long)]
    all_columns: bool,
    /// For a picture: the column to draw [default: the first, with what belongs to it].
    #[arg(long, value_name = "NAME")]
    column: Option<String>,
    /// For a picture: the scale of x, e.g. `junction-flux` [default: the set-up's own].
    #[arg(long, value_name = "NAME")]
    axis: Option<String>,
    /// For a picture: its style.
    #[arg(long, value_enum, default_value = "light")]
    style: Style,
    /// In place of the curve: the board picture of that name, at the one value of x that --at gives [default: 0],
    /// as svg or png.
    #[arg(long, value_name = "PICTURE")]
    board: Option<String>,
}

/// The style of a picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Style {
    /// Ink on warm paper.
    Light,
    /// Bright lines on dark paper.
    Dark,
    /// Black and strong on white, for print.
    Print,
}

impl Style {
    fn theme(self) -> Theme {
        match self {
            Self::Light => Theme::light(),
            Self::Dark => Theme::dark(),
            Self::Print => Theme::print(),
        }
    }
}

/// The form of the result.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// Comma-separated values with one header line `name[unit]`, in SI units.
    Csv,
    /// The same columns, with readings, warnings and every parameter used.
    Json,
    /// A chart as a vector picture.
    Svg,
    /// A chart as a bitmap picture.
    Png,
}

/// Points when nothing else is asked.
const POINTS: usize = 501;

/// The same for a picture, so that fine fringes keep their height.
const PICTURE_POINTS: usize = 4001;

/// Runs the command.
pub(crate) fn execute(options: &Options) -> anyhow::Result<()> {
    let setup = read_setup(options)?;
    if let Some(name) = &options.board {
        let scene = picture::board(
            &setup,
            name,
            board_place(options, &setup)?,
            options.style.theme(),
        )?;
        let result = match format(options) {
            Format::Png => picture::png(&scene)?,
            Format::Csv | Format::Svg if options.format != Some(Format::Csv) => {
                picture::svg(&scene)?.into_bytes()
            }
            _ => bail!("--board draws a picture: give --format svg or png, or leave it out"),
        };
        return hand_over(options, &result);
    }
    let x = places(options, &setup)?;
    let trace = run(&setup, &x)?;
    for warning in &trace.warnings {
        say::trouble(&format!("warning: {warning}"));
    }
    let result = match format(options) {
        Format::Csv => {
            table::csv(setup.description().kind, &trace, options.all_columns).into_bytes()
        }
        Format::Json => table::json(&setup, &trace, options.all_columns)?.into_bytes(),
        Format::Svg => picture::svg(&picture::chart(&setup, &trace, &wish(options))?)?.into_bytes(),
        Format::Png => picture::png(&picture::chart(&setup, &trace, &wish(options))?)?,
    };
    hand_over(options, &result)
}

fn hand_over(options: &Options, result: &[u8]) -> anyhow::Result<()> {
    match &options.out {
        Some(path) => write::file(path, result),
        None => write::standard_output(result),
    }
}

/// The one value of x at which a board picture is drawn.
fn board_place(options: &Options, setup: &Setup) -> anyhow::Result<f64> {
    if options.from.is_some() || options.to.is_some() || options.points.is_some() {
        bail!("--board shows one place: give it with --at, without --from, --to or --points");
    }
    let Some(text) = &options.at else {
        return Ok(0.0);
    };
    match listed(setup, text)?.as_slice() {
        [at] => Ok(*at),
        _ => bail!("--board shows one place: give one value with --at"),
    }
}

fn wish(options: &Options) -> picture::Wish<'_> {
    picture::Wish {
        column: options.column.as_deref(),
        axis: options.axis.as_deref(),
        theme: options.style.theme(),
    }
}

fn read_setup(options: &Options) -> anyhow::Result<Setup> {
    let mut spec = SetupSpec {
        kind: options.setup.clone(),
        ..SetupSpec::default()
    };
    // The kind first: a wrong parameter name is only wrong for a kind.
    Setup::new(&spec.kind)?;
    for pair in &options.set {
        let Some((name, value)) = pair.split_once('=') else {
            bail!(
                "--set \"{pair}\" has no \"=\"; write --set NAME=VALUE, such as --set width=\"10 um\""
            );
        };
        let name = name.trim();
        if spec
            .parameters
            .insert(name.to_string(), value.to_string())
            .is_some()
        {
            bail!("--set gives {name} twice; give it once");
        }
    }
    if let Some(sweep) = &options.sweep {
        choose_sweep(&mut spec, sweep)?;
    }
    Ok(Setup::from_spec(&spec)?)
}

/// Takes `--sweep` as the parameter of that name, or lets it name the only x there is.
fn choose_sweep(spec: &mut SetupSpec, sweep: &str) -> anyhow::Result<()> {
    let setup = Setup::new(&spec.kind)?;
    if setup.description().parameter("sweep").is_none() {
        let x = setup.x().name;
        anyhow::ensure!(
            sweep == x,
            "--sweep: \"{}\" can only be swept in {x}; leave --sweep out",
            spec.kind
        );
        return Ok(());
    }
    let before = spec.parameters.insert("sweep".into(), sweep.into());
    anyhow::ensure!(
        before.is_none_or(|before| before == sweep),
        "--sweep and --set sweep differ; give one of them"
    );
    Ok(())
}

fn format(options: &Options) -> Format {
    if let Some(format) = options.format {
        return format;
    }
    let ending = options
        .out
        .as_deref()
        .and_then(|path| path.extension())
        .and_then(|ending| ending.to_str())
        .map(str::to_ascii_lowercase);
    match ending.as_deref() {
        Some("json") => Format::Json,
        Some("svg") => Format::Svg,
        Some("png") => Format::Png,
        _ => Format::Csv,
    }
}

/// The values of x asked for.
fn places(options: &Options, setup: &Setup) -> anyhow::Result<Vec<f64>> {
    let range = options.from.is_some() || options.to.is_some() || options.points.is_some();
    if let Some(list) = &options.at {
        if range {
            bail!(
                "--at names every point, so it does not go with --from, --to or --points; give one or the other"
            );
        }
        return listed(setup, list);
    }
    let window = setup.default_window();
    let from = match &options.from {
        Some(text) => place(setup, text, None).context("--from")?,
        None => window.0,
    };
    let to = match &options.to {
        Some(text) => place(setup, text, None).context("--to")?,
        None => window.1,
    };
    let x = setup.x();
    if from >= to {
        bail!(
            "--from is {from} {unit} and --to {to} {unit}; the range must rise, so give --from the smaller one",
            unit = x.unit
        );
    }
    let points = match &options.points {
        Some(text) => points(text)?,
        None => match format(options) {
            Format::Csv | Format::Json => POINTS,
            Format::Svg | Format::Png => PICTURE_POINTS,
        },
    };
    let last = (points - 1) as f64;
    // Weights from both ends, so that a symmetric range has its zero exactly.
    let grid = (0..points)
        .map(|k| (from * (last - k as f64) + to * k as f64) / last)
        .collect();
    Ok(grid)
}

fn points(text: &str) -> anyhow::Result<usize> {
    let points: i128 = text.trim().parse().with_context(|| {
        format!("--points \"{text}\" is not a whole number; give one from 2 to {MOST_POINTS}")
    })?;
    usize::try_from(points)
        .ok()
        .filter(|points| (2..=MOST_POINTS).contains(points))
        .with_context(|| {
            format!(
                "--points {points} is out of range; give a whole number from 2 to {MOST_POINTS}"
            )
        })
}

fn listed(setup: &Setup, list: &str) -> anyhow::Result<Vec<f64>> {
    let mark = if list.contains(';') { ';' } else { ',' };
    let pieces: Vec<&str> = list.split(mark).map(str::trim).collect();
    if pieces.len() > MOST_POINTS {
        bail!(
            "--at has {} values; give at most {MOST_POINTS}",
            pieces.len()
        );
    }
    let unit = pieces
        .last()
        .and_then(|piece| parse_quantity(piece).ok())
        .and_then(|parsed| parsed.unit)
        .map(|unit| unit.symbol);
    pieces
        .iter()
        .enumerate()
        .map(|(k, piece)| {
            place(setup, piece, unit.as_deref())
                .with_context(|| format!("value number {} of --at", k + 1))
        })
        .collect()
}

/// A value of x; without a unit it is in `unit`, or else in the SI unit of x.
fn place(setup: &Setup, text: &str, unit: Option<&str>) -> anyhow::Result<f64> {
    let parsed = parse_quantity(text)?;
    if parsed.unit.is_some() {
        return Ok(read_place(setup, text)?);
    }
    match unit {
        Some(unit) => Ok(read_place(setup, &format!("{text} {unit}"))?),
        None => Ok(parsed.value),
    }
}
