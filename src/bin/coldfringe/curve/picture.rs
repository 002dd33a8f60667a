//! A trace as a chart, and the inside of a device as a board picture.

use anyhow::Context as _;
use coldfringe::experiment::{AxisScale, Column, ColumnScale, Setup, Trace, look_inside};
use coldfringe::figure::{
    Axis, BoardOptions, BoardPicture, Chart, Role, Scene, Series, Theme, board as boards,
    png as to_png, svg as to_svg,
};
use coldfringe::spelling;

const WIDTH: f64 = 840.0;
const HEIGHT: f64 = 520.0;

/// Width and height of a board picture.
const BOARD: (f64, f64) = (480.0, 413.0);

/// Pixels of a bitmap for each logical one.
const FINENESS: f64 = 2.0;

/// What the user wants drawn.
pub(super) struct Wish<'a> {
    pub(super) column: Option<&'a str>,
    pub(super) axis: Option<&'a str>,
    pub(super) theme: Theme,
}

/// A drawing as a vector picture.
pub(super) fn svg(scene: &Scene) -> anyhow::Result<String> {
    Ok(to_svg(scene)?)
}

/// A drawing as a bitmap.
pub(super) fn png(scene: &Scene) -> anyhow::Result<Vec<u8>> {
    Ok(to_png(scene, FINENESS)?)
}

/// The board picture of that name, at a value of x in the SI unit of x.
pub(super) fn board(setup: &Setup, name: &str, at: f64, theme: Theme) -> anyhow::Result<Scene> {
    let device = setup.description();
    let fitting: Vec<&str> = BoardPicture::fitting(device)
        .map(BoardPicture::name)
        .collect();
    let found = BoardPicture::from_name(name)
        .and_then(|picture| Some((picture, picture.view_of(device)?)))
        .with_context(|| {
            format!(
                "--board: \"{}\" has no picture \"{name}\"; {}",
                device.kind,
                spelling::mend(name, fitting.iter().copied())
            )
        })?;
    let options = BoardOptions {
        picture: found.0,
        width: BOARD.0,
        height: BOARD.1,
        theme,
        show_sum: true,
    };
    Ok(boards::scene(&look_inside(setup, found.1, at)?, &options))
}

/// The chart of a trace.
pub(super) fn chart(setup: &Setup, trace: &Trace, wish: &Wish<'_>) -> anyhow::Result<Scene> {
    let scale = axis(setup, wish)?;
    let drawn = columns(setup, trace, wish)?;
    let x: Vec<f64> = trace
        .x
        .values
        .iter()
        .map(|value| value / scale.si_per_unit)
        .collect();
    let (from, to) = ends(&x);
    anyhow::ensure!(
        from < to,
        "a chart needs at least two different values of {}; give --from, --to and --points",
        trace.x.name
    );
    let all = drawn.iter().flat_map(|(column, _)| &column.values);
    let (least, most) = ends_of(all);
    let first = drawn
        .first()
        .map(|(column, _)| *column)
        .context("there is no column to draw")?;
    let shown = scale_of(setup, first, least, most)?;
    // From zero where all values are on one side of it, with a little room beyond the curve.
    let (low, high) = (
        least.min(0.0) / shown.si_per_unit,
        most.max(0.0) / shown.si_per_unit,
    );
    let room = 0.05 * (high - low).max(f64::MIN_POSITIVE);
    let y = Axis::new(
        shown.label,
        &shown.unit,
        if low < 0.0 { low - room } else { low },
        if high > low { high + room } else { low + 1.0 },
    )?;
    let mut chart = Chart::new(
        WIDTH,
        HEIGHT,
        Axis::new(scale.label, scale.unit, from, to)?,
        y,
        wish.theme,
    );
    for (column, role) in drawn {
        let words = setup
            .description()
            .column(column.name)
            .map_or(column.name, |described| described.words);
        let values: Vec<f64> = column
            .values
            .iter()
            .map(|value| value / shown.si_per_unit)
            .collect();
        chart
            .series
            .push(Series::from_columns(words, role, &x, &values).with_jumps(0.1 * (high - low)));
    }
    Ok(chart.scene())
}

fn axis(setup: &Setup, wish: &Wish<'_>) -> anyhow::Result<AxisScale> {
    let axes = setup.axes();
    match wish.axis {
        None => axes.into_iter().next().context("the set-up has no axis"),
        Some(name) => setup.axis(name).with_context(|| {
            format!(
                "--axis: there is no axis \"{name}\"; {}",
                spelling::mend(name, axes.iter().map(|axis| axis.name))
            )
        }),
    }
}

/// The column asked for (or the first), and what belongs beside it: its envelope, the simple picture's,
/// or the way back.
fn columns<'a>(
    setup: &Setup,
    trace: &'a Trace,
    wish: &Wish<'_>,
) -> anyhow::Result<Vec<(&'a Column, Role)>> {
    let names = setup.description().columns.iter().map(|column| column.name);
    let first = match wish.column {
        None => trace.columns.first().context("the set-up has no column")?,
        Some(name) => trace.column(name).with_context(|| {
            format!(
                "--column: there is no column \"{name}\"; {}",
                spelling::mend(name, names)
            )
        })?,
    };
    let mut drawn = vec![(first, Role::Computed)];
    if let Some(simple) = trace.column(&format!("{}-simple", first.name)) {
        drawn.push((simple, Role::Simple));
    }
    // The way back, where it differs: "voltage" and "voltage-falling", "…-rising" and "…-falling".
    let there = first.name.strip_suffix("-rising").unwrap_or(first.name);
    if let Some(back) = trace.column(&format!("{there}-falling"))
        && back.name != first.name
        && back.values != first.values
    {
        drawn.push((back, Role::Simple));
    }
    if wish.column.is_none()
        && let Some(envelope) = trace.column("envelope")
    {
        drawn.push((envelope, Role::Envelope));
    }
    Ok(drawn)
}

fn ends(values: &[f64]) -> (f64, f64) {
    ends_of(values.iter())
}

fn ends_of<'a>(values: impl Iterator<Item = &'a f64>) -> (f64, f64) {
    values.filter(|value| value.is_finite()).fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(least, most), value| (least.min(*value), most.max(*value)),
    )
}

/// The scale on which the larger end is a handy number: a unit with a prefix, or with a power of ten where
/// no prefix reaches.
fn scale_of(setup: &Setup, column: &Column, least: f64, most: f64) -> anyhow::Result<ColumnScale> {
    let size = least.abs().max(most.abs());
    let mut plain = setup.column_scale(column.name, column.unit)?;
    if column.unit.is_empty() || column.unit == "Phi0" || size <= 0.0 || (0.1..1e4).contains(&size)
    {
        return Ok(plain);
    }
    let prefixes = ["", "m", "u", "n", "p", "f"];
    for prefix in prefixes {
        let unit = format!("{prefix}{}", column.unit);
        // A square's prefix is squared, too; the scale knows.
        if let Ok(scale) = setup.column_scale(column.name, &unit)
            && (1.0..1e6).contains(&(size / scale.si_per_unit))
        {
            return Ok(scale);
        }
    }
    let mut power = 0_i32;
    let mut step = 1.0;
    while size / step < 1.0 && power > -300 {
        step /= 10.0;
        power -= 1;
    }
    plain.unit = format!("10{} {}", raised(power), plain.unit);
    plain.si_per_unit *= step;
    Ok(plain)
}

/// A whole number as an exponent.
fn raised(power: i32) -> String {
    power
        .to_string()
        .chars()
        .map(|letter| match letter {
            '-' => '\u{207b}',
            '1' => '\u{b9}',
            '2' => '\u{b2}',
            '3' => '\u{b3}',
            other => other
                .to_digit(10)
                .and_then(|digit| char::from_u32(0x2070 + digit))
                .unwrap_or(other),
        })
        .collect()
}
