//! Square codes, drawn.

use qrcode::{Color, EcLevel, QrCode};
use std::fmt::Write as _;

/// White around a code [modules].
///
/// # Source
/// ISO/IEC 18004: four modules on every side, from memory.
const QUIET: usize = 4;

/// The code as SVG; none where the content is empty or too long for one.
pub fn svg(content: &str) -> Option<String> {
    if content.is_empty() {
        return None;
    }
    let code = QrCode::with_error_correction_level(content, EcLevel::M).ok()?;
    let (width, dark) = (code.width(), code.to_colors());
    let side = width + 2 * QUIET;
    let mut path = String::new();
    for (y, row) in dark.chunks(width).enumerate() {
        let mut x = 0;
        for run in row.chunk_by(|a, b| a == b) {
            if run[0] == Color::Dark {
                let _ = write!(path, "M{} {}h{}v1h-{}z", x + QUIET, y + QUIET, run.len(), run.len());
            }
            x += run.len();
        }
    }
    Some(format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{side}\" height=\"{side}\" viewBox=\"0 0 {side} {side}\">\
         <path d=\"{path}\"/></svg>"
    ))
}
