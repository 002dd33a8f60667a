//! The inner loops of dense blocks: along one row, with one or four source rows.

/// Rows treated at once.
pub(super) const PANEL: usize = 4;

/// Subtracts a complex multiple of a row.
pub(super) fn subtract(re: &mut [f64], im: &mut [f64], by: (f64, f64), row: (&[f64], &[f64])) {
    let length = re.len();
    let im = &mut im[..length];
    let (sr, si) = (&row.0[..length], &row.1[..length]);
    for x in 0..length {
        re[x] -= by.0 * sr[x] - by.1 * si[x];
        im[x] -= by.0 * si[x] + by.1 * sr[x];
    }
}

/// Subtracts complex multiples of four rows that lie `stride` apart.
#[inline(never)]
pub(super) fn subtract_four(
    re: &mut [f64],
    im: &mut [f64],
    by: (&[f64], &[f64]),
    rows: (&[f64], &[f64]),
    stride: usize,
) {
    let length = re.len();
    let im = &mut im[..length];
    let (b, c) = (&by.0[..PANEL], &by.1[..PANEL]);
    let r0 = &rows.0[..length];
    let r1 = &rows.0[stride..stride + length];
    let r2 = &rows.0[2 * stride..2 * stride + length];
    let r3 = &rows.0[3 * stride..3 * stride + length];
    let i0 = &rows.1[..length];
    let i1 = &rows.1[stride..stride + length];
    let i2 = &rows.1[2 * stride..2 * stride + length];
    let i3 = &rows.1[3 * stride..3 * stride + length];
    let (b0, b1, b2, b3) = (b[0], b[1], b[2], b[3]);
    let (c0, c1, c2, c3) = (c[0], c[1], c[2], c[3]);
    for x in 0..length {
        let real = (b0 * r0[x] - c0 * i0[x]) + (b1 * r1[x] - c1 * i1[x]);
        let real = real + ((b2 * r2[x] - c2 * i2[x]) + (b3 * r3[x] - c3 * i3[x]));
        let imaginary = (b0 * i0[x] + c0 * r0[x]) + (b1 * i1[x] + c1 * r1[x]);
        let imaginary = imaginary + ((b2 * i2[x] + c2 * r2[x]) + (b3 * i3[x] + c3 * r3[x]));
        re[x] -= real;
        im[x] -= imaginary;
    }
}

/// Adds real multiples of four rows that lie `stride` apart, to one part.
#[inline(never)]
pub fn add_four(to: &mut [f64], by: [f64; 4], rows: &[f64], stride: usize) {
    let length = to.len();
    let r0 = &rows[..length];
    let r1 = &rows[stride..stride + length];
    let r2 = &rows[2 * stride..2 * stride + length];
    let r3 = &rows[3 * stride..3 * stride + length];
    let [b0, b1, b2, b3] = by;
    for x in 0..length {
        to[x] += (b0 * r0[x] + b1 * r1[x]) + (b2 * r2[x] + b3 * r3[x]);
    }
}

/// Adds a real multiple of a row, to one part.
pub fn add_one(to: &mut [f64], by: f64, row: &[f64]) {
    for (to, from) in to.iter_mut().zip(row) {
        *to += by * from;
    }
}

/// Sum of products without conjugation, in four interleaved sums (a fixed order, which a compiler
/// may still turn into vector instructions).
pub(super) fn dot(a: (&[f64], &[f64]), b: (&[f64], &[f64])) -> (f64, f64) {
    let length = a.0.len();
    let (ar, ai, br, bi) = (
        &a.0[..length],
        &a.1[..length],
        &b.0[..length],
        &b.1[..length],
    );
    let mut re = [0.0; PANEL];
    let mut im = [0.0; PANEL];
    let whole = length - length % PANEL;
    let mut at = 0;
    while at < whole {
        let (xr, xi) = (&ar[at..at + PANEL], &ai[at..at + PANEL]);
        let (yr, yi) = (&br[at..at + PANEL], &bi[at..at + PANEL]);
        for lane in 0..PANEL {
            re[lane] += xr[lane] * yr[lane] - xi[lane] * yi[lane];
            im[lane] += xr[lane] * yi[lane] + xi[lane] * yr[lane];
        }
        at += PANEL;
    }
    for x in whole..length {
        re[0] += ar[x] * br[x] - ai[x] * bi[x];
        im[0] += ar[x] * bi[x] + ai[x] * br[x];
    }
    (
        (re[0] + re[1]) + (re[2] + re[3]),
        (im[0] + im[1]) + (im[2] + im[3]),
    )
}

/// Sum of products of real numbers, in four interleaved sums.
#[must_use]
pub fn dot_real(a: &[f64], b: &[f64]) -> f64 {
    let length = a.len().min(b.len());
    let (a, b) = (&a[..length], &b[..length]);
    let mut sum = [0.0; PANEL];
    let whole = length - length % PANEL;
    let mut at = 0;
    while at < whole {
        let (x, y) = (&a[at..at + PANEL], &b[at..at + PANEL]);
        for lane in 0..PANEL {
            sum[lane] += x[lane] * y[lane];
        }
        at += PANEL;
    }
    for x in whole..length {
        sum[0] += a[x] * b[x];
    }
    (sum[0] + sum[1]) + (sum[2] + sum[3])
}
