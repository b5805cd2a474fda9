//! The picture that a link to a page is shown with elsewhere: a docket with the page's title, drawn as a PNG of 1200 by
//! 630 points. (Open Graph takes no SVG in practice.)
//!
//! Sixteen colours and no more, from the sheet's tokens, so that a card is some ten kilobytes. Only what the page itself
//! says in its head stands on it.

use std::collections::HashMap;
use std::ops::Range;
use std::sync::{Arc, LazyLock, Mutex, PoisonError};

use ab_glyph::{Font, FontRef, GlyphId, PxScale, ScaleFont};
use serde::Serialize;

/// Width of a card, in points.
pub const WIDTH: usize = 1200;
/// Height of a card, in points.
pub const HEIGHT: usize = 630;

/// What stands on a card.
#[derive(Clone, Debug, Serialize, PartialEq)]
pub struct Card<'a> {
    /// The page's title.
    pub title: &'a str,
    /// The stub's left: `Write-up`.
    pub kind: &'a str,
    /// The stub's right: `20 March 2026`; may be empty.
    pub when: &'a str,
    /// The foot: the site's title.
    pub site: &'a str,
}

/// The style's typeface at one weight, for drawing; the licence beside the style covers it.
static LETTERS: LazyLock<FontRef<'static>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../content/card/letters.ttf"))
        .expect("the typeface is part of the program, and a test draws with it")
});

const PAPER: Rgb = [0xf3, 0xec, 0xdd];
const SHEET: Rgb = [0xfc, 0xf8, 0xee];
const INK: Rgb = [0x23, 0x1f, 0x1a];
const RULE: Rgb = [0x8d, 0x7f, 0x68];
const COPPER: Rgb = [0x8f, 0x41, 0x16];

/// The palette: paper, rule, then steps from the sheet to ink and to copper.
const PAPER_AT: u8 = 0;
const RULE_AT: u8 = 1;
/// The first of the steps to ink: the sheet itself.
const INK_FROM: u8 = 2;
const INK_STEPS: u8 = 8;
/// The first of the steps to copper; the sheet is not repeated.
const COPPER_FROM: u8 = INK_FROM + INK_STEPS;
const COPPER_STEPS: u8 = 6;

type Rgb = [u8; 3];

/// The card without a word on it, which all begin with.
static BLANK: LazyLock<Paper> = LazyLock::new(Paper::blank);
/// Every letter that was drawn, by sign, size and colour: a diary's cards are written with the same few hundred.
static DRAWN: LazyLock<Mutex<HashMap<Key, Arc<Letter>>>> = LazyLock::new(Mutex::default);

const EDGE: usize = 48;
const INSIDE: usize = EDGE + 48;
const STUB: usize = EDGE + 92;
const FOOT: usize = HEIGHT - EDGE - 92;

/// A card as the bytes of a PNG. A sign that the typeface lacks is left out. A title too long for four lines ends in an
/// ellipsis.
pub fn draw(card: &Card<'_>) -> Vec<u8> {
    let mut sheet = BLANK.clone();
    let small = Line::new(34.0);
    sheet.write(card.kind, INSIDE, STUB - 30, small, Tone::Ink);
    let when = small.width(card.when);
    sheet.write(
        card.when,
        WIDTH - INSIDE - when,
        STUB - 30,
        small,
        Tone::Copper,
    );
    let foot = small.cut(card.site, WIDTH - 2 * INSIDE);
    sheet.write(&foot, INSIDE, HEIGHT - EDGE - 34, small, Tone::Ink);

    let (large, lines) = title(card.title);
    let step = large.height();
    let space = FOOT - STUB;
    let top = STUB + (space - step * lines.len()) / 2 + step * 4 / 5;
    for (number, line) in lines.iter().enumerate() {
        sheet.write(line, INSIDE, top + number * step, large, Tone::Ink);
    }
    sheet.png()
}

/// The largest size at which the title takes three lines or fewer, else four at the least.
fn title(text: &str) -> (Line, Vec<String>) {
    const SIZES: [f32; 4] = [92.0, 80.0, 70.0, 62.0];
    const MOST: usize = 4;
    let across = WIDTH - 2 * INSIDE;
    for size in SIZES {
        let line = Line::new(size);
        let lines = line.wrap(text, across);
        let fits = lines.iter().all(|words| line.width(words) <= across);
        if fits && lines.len() < MOST {
            return (line, lines);
        }
    }
    let line = Line::new(SIZES[SIZES.len() - 1]);
    let mut lines = line.wrap(text, across);
    if lines.len() > MOST {
        let rest = lines.split_off(MOST - 1).join(" ");
        lines.push(rest);
    }
    let lines = lines.iter().map(|words| line.cut(words, across)).collect();
    (line, lines)
}

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Tone {
    Ink,
    Copper,
}

impl Tone {
    /// The palette's colour where a letter covers so much of a point.
    fn at(self, cover: f32) -> u8 {
        let (first, steps) = match self {
            // The sheet is the first step of both.
            Tone::Ink => (INK_FROM, INK_STEPS - 1),
            Tone::Copper => (COPPER_FROM - 1, COPPER_STEPS),
        };
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a whole number from 0 to the number of steps"
        )]
        let step = (cover.clamp(0.0, 1.0) * f32::from(steps)).round() as u8;
        if step == 0 { INK_FROM } else { first + step }
    }
}

/// Letters of one size.
#[derive(Clone, Copy)]
struct Line {
    scale: PxScale,
}

impl Line {
    fn new(size: f32) -> Line {
        Line {
            scale: PxScale::from(size),
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a few thousand points at most, and never below nought"
    )]
    fn width(self, text: &str) -> usize {
        let font = LETTERS.as_scaled(self.scale);
        let mut last = None;
        let mut across = 0.0;
        for sign in text.chars() {
            let glyph = font.glyph_id(sign);
            if let Some(last) = last.replace(glyph) {
                across += font.kern(last, glyph);
            }
            across += font.h_advance(glyph);
        }
        across.ceil().max(0.0) as usize
    }

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "about the size of the letters"
    )]
    fn height(self) -> usize {
        (self.scale.y * 1.08).round() as usize
    }

    fn wrap(self, text: &str, across: usize) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for word in text.split_whitespace() {
            if let Some(line) = lines.last_mut() {
                let longer = format!("{line} {word}");
                if self.width(&longer) <= across {
                    *line = longer;
                    continue;
                }
            }
            lines.push(word.to_owned());
        }
        lines
    }

    /// The text, or as much of it as fits, with an ellipsis.
    fn cut(self, text: &str, across: usize) -> String {
        if self.width(text) <= across {
            return text.to_owned();
        }
        let mut kept = text.to_owned();
        while kept.pop().is_some() {
            let shown = format!("{}…", kept.trim_end());
            if self.width(&shown) <= across {
                return shown;
            }
        }
        String::new()
    }
}

/// A sign of one size in one colour.
#[derive(Clone, Copy, PartialEq, Eq, Hash)]
struct Key {
    glyph: GlyphId,
    /// The size's bits: sizes are few and given as such.
    size: u32,
    tone: Tone,
}

/// A drawn letter: places in the palette, row by row, nought where it leaves the sheet as it is.
struct Letter {
    /// Of its left upper corner, from the place on the base line.
    right: i32,
    down: i32,
    wide: usize,
    points: Vec<u8>,
}

impl Letter {
    /// Drawn before or drawn now; `None` for a sign that leaves nothing, such as a space.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "points of a letter: a hundred or so either way"
    )]
    fn of(glyph: GlyphId, line: Line, tone: Tone) -> Option<Arc<Letter>> {
        let drawn = || DRAWN.lock().unwrap_or_else(PoisonError::into_inner);
        let key = Key {
            glyph,
            size: line.scale.y.to_bits(),
            tone,
        };
        if let Some(known) = drawn().get(&key) {
            return Some(Arc::clone(known));
        }
        let outline = LETTERS.outline_glyph(glyph.with_scale(line.scale))?;
        let bounds = outline.px_bounds();
        let wide = bounds.width() as usize;
        let mut points = vec![0; wide * bounds.height() as usize];
        outline.draw(|x, y, cover| {
            if cover > 0.0 {
                points[y as usize * wide + x as usize] = tone.at(cover);
            }
        });
        let letter = Arc::new(Letter {
            right: bounds.min.x as i32,
            down: bounds.min.y as i32,
            wide,
            points,
        });
        drawn().insert(key, Arc::clone(&letter));
        Some(letter)
    }
}

/// A sheet of points, each a place in the palette, as the rows of a PNG hold them: a byte that says unfiltered, then two
/// points a byte. Drawn on as it is, so that nothing is left to pack.
#[derive(Clone)]
struct Paper {
    rows: Vec<u8>,
}

const ROW: usize = 1 + WIDTH / 2;
const UNFILTERED: u8 = 0;

impl Paper {
    /// The docket before anything is written on it.
    fn blank() -> Paper {
        let mut sheet = Paper {
            rows: vec![UNFILTERED; ROW * HEIGHT],
        };
        sheet.fill(0..WIDTH, 0..HEIGHT, PAPER_AT);
        sheet.fill(EDGE..WIDTH - EDGE, EDGE..HEIGHT - EDGE, INK_FROM);
        sheet.frame(EDGE..WIDTH - EDGE, EDGE..HEIGHT - EDGE, 4);
        sheet.fill(EDGE + 4..WIDTH - EDGE - 4, FOOT..FOOT + 2, RULE_AT);
        // The stub tears off along its stitches.
        for at in (EDGE + 4..WIDTH - EDGE - 4).step_by(18) {
            sheet.fill(at..at + 10, STUB..STUB + 3, RULE_AT);
        }
        sheet
    }

    /// Changes one point to what `change` makes of it.
    fn change(&mut self, x: usize, y: usize, change: impl Fn(u8) -> u8) {
        let byte = &mut self.rows[y * ROW + 1 + x / 2];
        let (left, right) = (*byte >> 4, *byte & 0xf);
        *byte = match x % 2 {
            0 => change(left) << 4 | right,
            _ => left << 4 | change(right),
        };
    }

    fn fill(&mut self, x: Range<usize>, y: Range<usize>, colour: u8) {
        for row in y {
            for at in x.clone() {
                self.change(at, row, |_| colour);
            }
        }
    }

    fn frame(&mut self, x: Range<usize>, y: Range<usize>, wide: usize) {
        let ink = Tone::Ink.at(1.0);
        self.fill(x.clone(), y.start..y.start + wide, ink);
        self.fill(x.clone(), y.end - wide..y.end, ink);
        self.fill(x.start..x.start + wide, y.clone(), ink);
        self.fill(x.end - wide..x.end, y, ink);
    }

    /// Writes a line from a left edge on a base line, each letter on whole points.
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        clippy::cast_possible_wrap,
        reason = "points of a card: a few hundred either way"
    )]
    fn write(&mut self, text: &str, left: usize, base: usize, line: Line, tone: Tone) {
        let font = LETTERS.as_scaled(line.scale);
        let mut last = None;
        let mut at = left as f32;
        for sign in text.chars() {
            let glyph = font.glyph_id(sign);
            if let Some(last) = last.replace(glyph) {
                at += font.kern(last, glyph);
            }
            if let Some(letter) = Letter::of(glyph, line, tone) {
                self.put(&letter, at.round() as i32, base as i32);
            }
            at += font.h_advance(glyph);
        }
    }

    /// Puts a letter at a place on the base line; what would lie off the sheet is left out.
    fn put(&mut self, letter: &Letter, across: i32, base: i32) {
        let (left, top) = (across + letter.right, base + letter.down);
        for (row, y) in letter.points.chunks_exact(letter.wide.max(1)).zip(top..) {
            let Some(y) = usize::try_from(y).ok().filter(|y| *y < HEIGHT) else {
                continue;
            };
            for (&step, x) in row.iter().zip(left..) {
                let within = usize::try_from(x).ok().filter(|x| *x < WIDTH);
                if let (Some(x), 1..) = (within, step) {
                    // Letters that touch share a point: the darker of the two stands.
                    self.change(x, y, |point| point.max(step));
                }
            }
        }
    }

    fn png(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(
            &mut bytes,
            u32::try_from(WIDTH).expect("small"),
            u32::try_from(HEIGHT).expect("small"),
        );
        encoder.set_color(png::ColorType::Indexed);
        encoder.set_depth(png::BitDepth::Four);
        encoder.set_palette(palette());
        let mut writer = encoder
            .write_header()
            .expect("a vector takes whatever is written");
        // In one piece: row by row, as the encoder would, takes ten times as long. The rows are long runs of one colour, which
        // the quickest way of a plain deflate folds well enough.
        const QUICKEST: u8 = 1;
        let folded = miniz_oxide::deflate::compress_to_vec_zlib(&self.rows, QUICKEST);
        writer
            .write_chunk(png::chunk::IDAT, &folded)
            .expect("a vector takes whatever is written");
        writer.finish().expect("a vector takes whatever is written");
        bytes
    }
}

fn palette() -> Vec<u8> {
    let mut colours = vec![PAPER, RULE];
    colours.extend((0..INK_STEPS).map(|step| between(INK, step, INK_STEPS - 1)));
    colours.extend((1..=COPPER_STEPS).map(|step| between(COPPER, step, COPPER_STEPS)));
    colours.concat()
}

/// So many steps of the way from the sheet to a colour.
fn between(to: Rgb, step: u8, of: u8) -> Rgb {
    let mix = |from: u8, to: u8| {
        let (from, to, step, of) = (
            u32::from(from),
            u32::from(to),
            u32::from(step),
            u32::from(of),
        );
        u8::try_from((from * (of - step) + to * step + of / 2) / of).expect("between two bytes")
    };
    [
        mix(SHEET[0], to[0]),
        mix(SHEET[1], to[1]),
        mix(SHEET[2], to[2]),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn card(title: &str) -> Vec<u8> {
        draw(&Card {
            title,
            kind: "Write-up",
            when: "20 March 2026",
            site: "The Gullwick job diary",
        })
    }

    /// The points of a card, read back by the decoder.
    fn points(bytes: &[u8]) -> Vec<u8> {
        let mut decoder = png::Decoder::new(std::io::Cursor::new(bytes));
        decoder.set_transformations(png::Transformations::IDENTITY);
        let mut reader = decoder.read_info().expect("a PNG");
        assert_eq!((reader.info().width, reader.info().height), (1200, 630));
        let mut packed = vec![0; reader.output_buffer_size().expect("small")];
        reader.next_frame(&mut packed).expect("whole");
        packed.iter().flat_map(|two| [two >> 4, two & 15]).collect()
    }

    #[test]
    fn a_title_is_written_and_another_title_is_another_card() {
        let one = card("Two shore-power outlets and a long run");
        assert!(one.len() < 30_000, "{} bytes", one.len());
        assert_eq!(one, card("Two shore-power outlets and a long run"));
        assert_ne!(one, card("Two shore-power outlets and a short run"));
        let ink = points(&one)
            .iter()
            .filter(|at| **at == INK_FROM + INK_STEPS - 1)
            .count();
        let bare = points(&card(""))
            .iter()
            .filter(|at| **at == INK_FROM + INK_STEPS - 1)
            .count();
        assert!(ink > bare + 5_000, "{ink} against {bare}");
    }

    #[test]
    fn no_title_runs_off_the_sheet() {
        let long = "Supercalifragilistic ".repeat(12);
        for title in [&*long, &"W".repeat(300), "漢字 and — “signs” ½"] {
            let points = points(&card(title));
            let beside = points
                .chunks_exact(WIDTH)
                .flat_map(|row| row[..EDGE].iter().chain(&row[WIDTH - EDGE..]));
            assert!(beside.copied().all(|at| at == PAPER_AT), "{title}");
        }
    }
}
