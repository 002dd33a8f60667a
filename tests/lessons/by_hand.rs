//! Every number that a lesson asks for, worked out by hand from the formulas that the lesson explains.

use std::collections::BTreeMap;
use std::f64::consts::PI;

use coldfringe::numerics::elementary::sin_cos;

/// CODATA 2022, exact digits: h/2e in webers.
const QUANTUM: f64 = 2.067_833_848_461_929e-15;

/// Critical current of a loop with equal junctions at half a quantum, as a share of its largest, by trying
/// total fluxes. With d half the difference of the phases and m their mean, the bias is `2 I0 cos d sin m` and
/// the current round the loop `-I0 sin d cos m`; so the flux in the loop fixes
/// `cos m = (pi/2 - d) / (pi beta_l sin d / 2)`, and the best d is sought.
pub(super) fn share_left_at_half(beta_l: f64) -> f64 {
    let bias = |d: f64| {
        let (sine, cosine) = sin_cos(d);
        let mean = (PI / 2.0 - d) / (PI / 2.0 * beta_l * sine);
        if mean > 1.0 {
            0.0
        } else {
            cosine * (1.0 - mean * mean).sqrt()
        }
    };
    (1..1_000_000)
        .map(|k| bias(PI / 2.0 * f64::from(k) * 1e-6))
        .fold(0.0, f64::max)
}

/// Total and applied flux, in quanta, where the first branch of a loop with one junction ends: the cosine of the
/// total is -1/beta, found by halving the interval between a quarter and a half.
fn end_of_branch(beta: f64) -> (f64, f64) {
    let (mut low, mut high) = (0.25, 0.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if cosine_by_series(2.0 * PI * middle) > -1.0 / beta {
            low = middle;
        } else {
            high = middle;
        }
    }
    (
        low,
        low + beta / (2.0 * PI) * (1.0 - 1.0 / (beta * beta)).sqrt(),
    )
}

/// The cosine by its power series, for angles up to half a turn or so.
fn cosine_by_series(angle: f64) -> f64 {
    let mut term = 1.0;
    let mut sum = 1.0;
    for k in 1..20 {
        let n = f64::from(2 * k);
        term *= -angle * angle / (n * (n - 1.0));
        sum += term;
    }
    sum
}

/// Current along a wire of 50 um radius for one quantum in a slot of this length and width: `2 pi r Phi0 / (mu0 A)`.
/// The magnetic constant is that of CODATA 2022.
fn stint(length: f64, width: f64) -> f64 {
    2.0 * PI * 50e-6 * QUANTUM / (1.256_637_061_27e-6 * length * width)
}

/// Voltage, transfer (a quantum) and voltage noise of Curlew at 8 uA and 4.2 K, in SI units, from the table
/// `tests/golden/thermal.tsv`: another method than the model's (collocation of the Fokker-Planck equation, SciPy).
pub(super) fn curlew(flux: &str) -> (f64, f64, f64) {
    let row = include_str!("../golden/thermal.tsv")
        .lines()
        .map(|line| line.split('\t').collect::<Vec<_>>())
        .find(|cells| {
            cells.get(2) == Some(&"0.9671956968339674")
                && cells.get(5) == Some(&"1.6")
                && cells.get(6) == Some(&flux)
        })
        .expect("a row of the table");
    let number = |k: usize| row[k].parse::<f64>().unwrap();
    // Units: I0 R, and (I0 R)^2 Phi0 / (2 pi I0 R) for the noise.
    let volts = 5e-6 * 6.0;
    (
        number(7) * volts,
        number(8) * volts,
        number(9) * volts * QUANTUM / (2.0 * PI),
    )
}

/// Curlew's voltage at 8 uA and a whole quantum, by the same collocation: 0.00010887 I0 R. (It is not in the table, for the
/// noise there is that of a loop which nearly rests, and no digit of it is promised.)
const FOOT: f64 = 0.000_108_87 * 5e-6 * 6.0;

/// Curlew's flux noise at its best flux, in quanta for each root of a hertz.
fn flux_noise_of_curlew() -> f64 {
    let (_, transfer, noise) = curlew("0.2707");
    noise.sqrt() / transfer
}

/// By hand, in SI units, from the formula beside each.
pub(super) fn by_hand() -> BTreeMap<&'static str, f64> {
    // The first root of tan x = x above zero (Abramowitz and Stegun, table 4.19, from memory;
    // recomputed); the lobe's height is 1/sqrt(1 + x^2).
    let lobe = 1.0 / (1.0 + 4.493_409_457_909_064_f64 * 4.493_409_457_909_064).sqrt();
    // Plover at 43 uT: |cos| of the loop's flux times sin x / x of the junctions', written as a
    // series because x is small.
    let in_loop = 43e-6 * 12e-12 / QUANTUM;
    let x = PI * 43e-6 * 4e-6 * 181e-9 / QUANTUM;
    // cos(pi/4 + e) with a small e, by the sum formula and two terms of each series.
    let e = PI * in_loop - PI / 4.0;
    let cosine = (1.0 - e - e * e / 2.0 + e * e * e / 6.0) / 2.0_f64.sqrt();
    // Sanderling at two quanta: its even part cancels, and 60 uA in two strips, nine tenths of the width apart and
    // a tenth wide, leave cos(1.8 pi) sin(0.2 pi)/(0.2 pi) of themselves. With the golden ratio g = (1 + sqrt 5)/2,
    // cos(pi/5) = g/2 and sin(pi/5) = sqrt(1 - g^2/4).
    let golden = f64::midpoint(1.0, 5.0_f64.sqrt());
    let strips = golden / 2.0 * (1.0 - golden * golden / 4.0).sqrt() / (0.2 * PI);
    // The first zero of the Bessel function J1 (Abramowitz and Stegun, table 9.5, from memory; SciPy's jn_zeros agrees).
    let bessel = 3.831_705_970_207_512_f64;
    // A junction 1 um wide in a loop of 20 um^2, with a quarter of a quantum in the loop.
    let narrow = PI * 0.25 * 0.181 / 20.0;
    BTreeMap::from([
        // s = 9 um from middle to middle of the strips; half a quantum: B = Phi0 / (2 s d)
        (
            "the-slits-profile/two-strips",
            QUANTUM / (2.0 * 9e-6 * 181e-9),
        ),
        ("the-slits-profile/at-two-quanta", 60e-6 * strips),
        (
            "the-slits-profile/small-round",
            bessel / PI * QUANTUM / (8e-6 * 181e-9),
        ),
        // F = w / (2 * detail)
        ("the-slits-profile/scan-for-detail", 10.0 / (2.0 * 0.40)),
        // The loop is 12/0.724 = 16.57 times a junction: the whole numbers from -16 to 16.
        ("wide-slits-wide-apart/how-many", 33.0),
        // 30/0.543 = 55.25: from -55 to 55.
        ("wide-slits-wide-apart/fringes-of-a-wide-pair", 111.0),
        // w = Phi0 / (B d)
        (
            "wide-slits-wide-apart/width-for-an-envelope",
            QUANTUM / (5.0e-3 * 181e-9),
        ),
        // 3, 4, 5: sqrt(60^2 + 45^2) = 75, less a millionth for the width of the junctions.
        (
            "wide-slits-wide-apart/quarter-turn",
            75e-6 * (1.0 - narrow * narrow / 6.0),
        ),
        // B = Phi0 / (w d)
        ("one-slit/thin-films", QUANTUM / (10e-6 * 145e-9)),
        ("one-slit/side-lobe", 100e-6 * lobe),
        // w = Phi0 / (B d)
        ("one-slit/width-for-a-field", QUANTUM / (0.20e-3 * 181e-9)),
        ("two-slits/quarter", 100e-6 * cosine * (1.0 - x * x / 6.0)),
        // period = Phi0 / A
        ("two-slits/period", QUANTUM / 12e-12),
        // A = Phi0 / period
        ("two-slits/area-for-a-period", QUANTUM / 2.0e-6),
        // N = change of field, times area, over Phi0
        ("two-slits/turned-over", 100e-6 * 300e-12 / QUANTUM),
        // J = Phi0 / (2 L)
        (
            "the-loop-answers-back/largest-circulating-current",
            QUANTUM / (2.0 * 500e-12),
        ),
        // Ic = 2 I0 - Phi0 / L
        (
            "the-loop-answers-back/lowest-critical-current",
            20e-6 - QUANTUM / 500e-12,
        ),
        // L = Phi0 / swing
        (
            "the-loop-answers-back/inductance-for-a-dip",
            QUANTUM / 10e-6,
        ),
        (
            "the-screened-loop/depth",
            1.0 - share_left_at_half(2.0 * 100e-12 * 10e-6 / QUANTUM),
        ),
        // beta_L = 2 L I0 / Phi0
        (
            "the-screened-loop/screening-parameter",
            2.0 * 60e-12 * 25e-6 / QUANTUM,
        ),
        (
            "the-screened-loop/inductance-for-one",
            QUANTUM / (2.0 * 5e-6),
        ),
        (
            "the-screened-loop/lowest-current",
            10e-6 * share_left_at_half(2.0 * 103e-12 * 5e-6 / QUANTUM),
        ),
        // Half a quantum in the junctions, and L I0 held back.
        (
            "the-screened-loop/holds-out",
            0.5 + 500e-12 * 10e-6 / QUANTUM,
        ),
        // V = (R/2) sqrt(I^2 - Ic^2), both phases turning as one.
        (
            "sweep-the-bias/above-the-critical-current",
            3.0 * (12.5e-6_f64 * 12.5e-6 - 10e-6 * 10e-6).sqrt(),
        ),
        // The same law, with the critical current 10 uA cos(pi/3).
        ("sweep-the-bias/a-third-of-a-quantum", 3.0 * 12e-6),
        // beta_c = 2 pi I0 R^2 C / Phi0
        (
            "sweep-the-bias/damping-of-curlew",
            2.0 * PI * 5e-6 * 36.0 * 0.5e-12 / QUANTUM,
        ),
        (
            "sweep-the-bias/most-capacitance",
            0.70 * QUANTUM / (2.0 * PI * 5e-6 * 36.0),
        ),
        // beta_rf = 2 pi L I0 / Phi0
        (
            "one-junction-is-enough/screening-parameter",
            2.0 * PI * 200e-12 * 1.5e-6 / QUANTUM,
        ),
        (
            "one-junction-is-enough/inductance-at-the-limit",
            QUANTUM / (2.0 * PI * 2.2e-6),
        ),
        (
            "one-junction-is-enough/first-jump",
            end_of_branch(2.0 * PI * 300e-12 * 4.4e-6 / QUANTUM).1,
        ),
        // omega L_T Phi0 / M with M = k sqrt(L L_T): 0.15 times the root of 300 pH and 400 nH.
        (
            "one-junction-is-enough/step-of-another-tank",
            2.0 * PI * 30e6 * 400e-9 * QUANTUM / (0.15 * (300e-12_f64 * 400e-9).sqrt()),
        ),
        // A ring of N arrows closes at 1/N of a quantum in each hole.
        ("many-slits/first-closing", QUANTUM / (16.0 * 20e-12)),
        ("many-slits/hole-for-a-zero", QUANTUM / (12.0 * 2.0e-6)),
        // N equal steps in chance directions: the mean square is N, of N squared.
        ("many-slits/tangle-of-twenty", 1.0 / 20.0),
        // 2 pi r Phi0 / (mu0 a (l1 + l2))
        ("a-loop-by-accident/period", stint(0.1e-3, 200e-9)),
        // Two equal arrows: 60 uA times the cosine of half the angle between them.
        ("a-loop-by-accident/ten-milliamperes", {
            let angle = PI * 10e-3 / stint(0.1e-3, 200e-9);
            60e-6 * cosine_by_series(angle)
        }),
        (
            "a-loop-by-accident/depth-of-a-solder",
            200e-9 * stint(0.1e-3, 200e-9) / 31e-3 - 80e-9,
        ),
        (
            "a-loop-by-accident/distance-of-contacts",
            0.1e-3 * stint(0.1e-3, 200e-9) / 5.0e-3,
        ),
        // A thousandth of a quantum times the steepest slope.
        ("flux-into-voltage/a-thousandth", 1e-3 * curlew("0.2464").1),
        // Flux noise in webers over the area.
        (
            "flux-into-voltage/field-noise",
            flux_noise_of_curlew() * QUANTUM / 4e-8,
        ),
        // The integrator moves at 2 pi f for each quantum of error at the steepest slope; the largest error voltage is
        // that from the working point down to the foot of the curve, the shorter way.
        (
            "flux-into-voltage/slew-limit",
            2.0 * PI * 100e3 * (curlew("0.25").0 - FOOT) / curlew("0.2464").1,
        ),
    ])
}

/// How well the formula by hand holds for the device of the lesson.
pub(super) fn known_to(name: &str) -> f64 {
    match name {
        // The formula is that of a loop without inductance; this one has a screening parameter of 0.0024.
        "sweep-the-bias/a-third-of-a-quantum" => 1e-5,
        // The table has the steepest and the best flux to four digits; near an extreme that is enough.
        name if name.starts_with("flux-into-voltage/") => 2e-5,
        _ => 1e-6,
    }
}
