//! A scene as PNG, natively: painted several times too large and averaged down, which gives
//! smooth edges, and packed here.

use std::io::Write;
use std::sync::OnceLock;

use flate2::Compression;
use flate2::Crc;
use flate2::write::ZlibEncoder;
use plotters::prelude::BitMapBackend;
use plotters::style::{FontStyle, register_font};

use super::error::FigureError;
use super::painter::{Paint, Stroke, paint};
use super::scene::Scene;

/// A subset of `DejaVu` Sans; see the licence beside it.
static FONT: &[u8] = include_bytes!("font/DejaVuSans-subset.ttf");

/// The name under which the font is registered.
const FAMILY: &str = "coldfringe";

/// The most pixels of the finished picture.
const LIMIT: u64 = 40_000_000;

/// The most pixels painted before averaging (three bytes each).
const PAINTED_LIMIT: f64 = 80_000_000.0;

/// The scene as a PNG file, `scale` picture pixels for each logical one.
///
/// # Errors
/// When the size is not positive and finite or beyond 40 million pixels, or the built-in font is
/// damaged.
pub fn png(scene: &Scene, scale: f64) -> Result<Vec<u8>, FigureError> {
    let refused = || FigureError::Size {
        width: scene.width,
        height: scene.height,
        scale,
        limit: LIMIT,
    };
    let side = |length: f64| {
        let side = (length * scale).round();
        ((1.0..=1e6).contains(&side)).then_some(side as u32)
    };
    let width = side(scene.width).ok_or_else(refused)?;
    let height = side(scene.height).ok_or_else(refused)?;
    let pixels = u64::from(width) * u64::from(height);
    if pixels > LIMIT {
        return Err(refused());
    }
    let over = [4_u32, 3, 2]
        .into_iter()
        .find(|&over| pixels as f64 * f64::from(over * over) <= PAINTED_LIMIT)
        .unwrap_or(1);
    let fine = (width * over, height * over);
    let mut buffer = vec![255_u8; fine.0 as usize * fine.1 as usize * 3];
    have_font()?;
    {
        let mut backend = BitMapBackend::with_buffer(&mut buffer, fine);
        let how = Paint {
            fineness: scale * f64::from(over),
            words: true,
            background: true,
            text_factor: 1.24,
            family: FAMILY,
            stroke: Stroke::Pieces,
        };
        paint(scene, &mut backend, &how)?;
    }
    let rows = average(&buffer, width as usize, height as usize, over as usize);
    pack(&rows, width, height)
}

/// Registers the font once.
fn have_font() -> Result<(), FigureError> {
    static REGISTERED: OnceLock<bool> = OnceLock::new();
    let registered =
        *REGISTERED.get_or_init(|| register_font(FAMILY, FontStyle::Normal, FONT).is_ok());
    registered.then_some(()).ok_or(FigureError::Font)
}

/// Averages squares of `over` by `over` pixels; each row of the result starts with the byte that
/// says it is stored without a filter.
fn average(buffer: &[u8], width: usize, height: usize, over: usize) -> Vec<u8> {
    let share = (over * over) as u32;
    let mut rows = Vec::with_capacity((width * 3 + 1) * height);
    let mut sums = vec![0_u32; width * 3];
    for row in buffer.chunks_exact(width * over * 3 * over).take(height) {
        sums.fill(0);
        for line in row.chunks_exact(width * over * 3) {
            for (sum, square) in sums.chunks_exact_mut(3).zip(line.chunks_exact(over * 3)) {
                for pixel in square.chunks_exact(3) {
                    for (total, &channel) in sum.iter_mut().zip(pixel) {
                        *total += u32::from(channel);
                    }
                }
            }
        }
        rows.push(0);
        rows.extend(sums.iter().map(|sum| ((sum + share / 2) / share) as u8));
    }
    rows
}

/// A PNG file of 8-bit red, green, blue rows (PNG specification, third edition, sections 5, 10
/// and 11).
fn pack(rows: &[u8], width: u32, height: u32) -> Result<Vec<u8>, FigureError> {
    let packing = |cause: std::io::Error| FigureError::Packing {
        cause: cause.to_string(),
    };
    let mut squeezed = ZlibEncoder::new(Vec::new(), Compression::new(6));
    squeezed.write_all(rows).map_err(packing)?;
    let data = squeezed.finish().map_err(packing)?;
    let mut header = Vec::with_capacity(13);
    header.extend_from_slice(&width.to_be_bytes());
    header.extend_from_slice(&height.to_be_bytes());
    // Eight bits a channel, true colour, deflate, adaptive filters, not interlaced.
    header.extend_from_slice(&[8, 2, 0, 0, 0]);
    let mut file = b"\x89PNG\r\n\x1a\n".to_vec();
    for (kind, body) in [
        (b"IHDR", header.as_slice()),
        (b"IDAT", data.as_slice()),
        (b"IEND", &[]),
    ] {
        let length = u32::try_from(body.len()).map_err(|_| FigureError::Packing {
            cause: "the picture is too large for one chunk".to_owned(),
        })?;
        file.extend_from_slice(&length.to_be_bytes());
        file.extend_from_slice(kind);
        file.extend_from_slice(body);
        let mut check = Crc::new();
        check.update(kind);
        check.update(body);
        file.extend_from_slice(&check.sum().to_be_bytes());
    }
    Ok(file)
}
