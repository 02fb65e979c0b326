//! The tag of a surface: what it is, in letters and as a code that leads to its job.
//!
//! Main type: [`TagDrawing`]. All lengths are millimetres. The code is a QR code (ISO/IEC 18004) at the second
//! highest of its four levels of repair, since tags get dirty; its quiet zone of four modules is kept.

use maud::Markup;
use qrcodegen::{QrCode, QrCodeEcc};

use super::Canvas;
use super::pen::{Anchor, Paint, Pen, Rect, Stroke};
use super::text::{Block, Face, Lettering};
use crate::{Palette, SheetError};

/// The longest address that a code holds, bytes: a long one makes small modules that a dirty tag cannot bear.
const LONGEST_ADDRESS: usize = 240;

/// Free modules round the code.
const QUIET: i32 = 4;

/// The size of a tag.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TagSize {
    /// Width, mm.
    pub width_mm: f64,
    /// Height, mm, smaller than the width.
    pub height_mm: f64,
    /// Height of the lettering where there is room for it, mm.
    pub text_mm: f64,
}

/// What [`tag()`] draws.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct TagDrawing {
    /// The number of the job, in large letters.
    pub number: String,
    /// What the surface is, a line each.
    pub lines: Vec<String>,
    /// What the code says: the address of the job.
    pub address: String,
}

/// Draws a tag, its size stated in millimetres.
///
/// # Errors
/// - [`SheetError::Address`]: the address is too long for a code
pub fn tag(drawing: &TagDrawing, palette: &Palette, size: TagSize) -> Result<Markup, SheetError> {
    let canvas = Canvas { width: size.width_mm, text: size.text_mm };
    let mut pen = Pen::new(palette, canvas);
    let edge = 0.6 * size.text_mm;
    let paper = Rect { x0: 0.0, y0: 0.0, x1: size.width_mm, y1: size.height_mm };
    pen.rect(paper, 0.0, Stroke::NONE, Paint::Ground);
    let side = (size.height_mm - 2.0 * edge).min(0.45 * size.width_mm);
    code(&mut pen, &drawing.address, (edge, (size.height_mm - side) / 2.0), side)?;
    let left = edge + side + 0.3 * edge;
    let room = (size.width_mm - edge - left, size.height_mm - 2.0 * edge);
    let blocks = fitting(drawing, pen.lettering(), room);
    let height: f64 = blocks.iter().map(Block::height).sum();
    let mut top = (size.height_mm - height) / 2.0;
    for block in blocks {
        pen.label(&block, left, top, Anchor::Start);
        top += block.height();
    }
    Ok(pen.finish_in("mm", size.height_mm, &in_words(drawing)))
}

/// The code, dark modules as one path.
fn code(pen: &mut Pen, address: &str, at: (f64, f64), side: f64) -> Result<(), SheetError> {
    let too_long = SheetError::Address { given: address.len(), allowed: LONGEST_ADDRESS };
    if address.len() > LONGEST_ADDRESS {
        return Err(too_long);
    }
    let code = QrCode::encode_text(address, QrCodeEcc::Quartile).map_err(|_| too_long)?;
    let mut path = String::new();
    for y in 0..code.size() {
        for x in (0..code.size()).filter(|x| code.get_module(*x, y)) {
            path.push_str(&format!("M{} {}h1v1h-1z", x + QUIET, y + QUIET));
        }
    }
    let modules = f64::from(code.size() + 2 * QUIET);
    pen.placed(&path, at, side / modules, Paint::Ink);
    Ok(())
}

/// The words, in letters as large as fit; where even the smallest do not, the last lines are left out.
fn fitting(drawing: &TagDrawing, lettering: Lettering, (width, height): (f64, f64)) -> Vec<Block> {
    let mut factor = 1.0;
    loop {
        let blocks = blocks(drawing, lettering.scaled(factor), width);
        let needed: f64 = blocks.iter().map(Block::height).sum();
        if needed <= height {
            return blocks;
        }
        if factor < 0.45 {
            return cut(blocks, height);
        }
        factor *= 0.93;
    }
}

fn blocks(drawing: &TagDrawing, lettering: Lettering, width: f64) -> Vec<Block> {
    let number = Block::plain(&drawing.number, Face::STRONG, width, lettering.scaled(1.7));
    let lines = drawing.lines.iter().map(|line| Block::plain(line, Face::PLAIN, width, lettering));
    let address = Block::plain(&drawing.address, Face::SOFT, width, lettering.scaled(0.7));
    [number].into_iter().chain(lines).chain([address]).collect()
}

fn cut(blocks: Vec<Block>, height: f64) -> Vec<Block> {
    let mut left = height;
    let mut kept = Vec::new();
    for mut block in blocks {
        let line = block.line_height();
        let mut lines = Vec::new();
        for words in block.lines {
            if left < line {
                break;
            }
            left -= line;
            lines.push(words);
        }
        block.lines = lines;
        kept.push(block);
    }
    kept
}

/// The tag in one sentence.
fn in_words(drawing: &TagDrawing) -> String {
    format!("Tag of job {}: {}; code of {}", drawing.number, drawing.lines.join(", "), drawing.address)
}
