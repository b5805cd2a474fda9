//! Photos: whether a file is a whole one that can be shown, and how large it stands upright.
//!
//! Looks at what a file says of itself and not at its pixels: those are the pages' business.

use std::collections::BTreeMap;
use std::io::Cursor;

use image::metadata::Orientation;
use image::{ImageDecoder, ImageFormat, ImageReader};
use rayon::prelude::*;

use crate::diagnose::{Code, Diagnostic, Span};
use crate::model::{Diary, SeenPhoto};

use super::Read;
use super::store::{self, Unread};

/// Most pixels of a photo: beyond any that a site needs, and what memory has to hold for one.
pub const MOST_MEGAPIXELS: u32 = 64;
/// Longest side in pixels: a strip of screenshots, not a photo.
const LONGEST_SIDE: u32 = 30_000;

/// What the end of a file's name says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// JPEG, PNG or WebP.
    Shown,
    /// HEIC: the form that iPhones save unless they are told otherwise.
    Heic,
}

/// The kind of a photo by the end of its name, in any case; `None` for what is none.
pub fn kind(path: &str) -> Option<Kind> {
    let (_, end) = path.rsplit_once('.')?;
    match end.to_ascii_lowercase().as_str() {
        "jpg" | "jpeg" | "png" | "webp" => Some(Kind::Shown),
        "heic" | "heif" | "hif" => Some(Kind::Heic),
        _ => None,
    }
}

/// Why a photo cannot be shown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// HEIC, whatever its name says.
    Heic,
    /// None of the kinds that can be shown.
    Unknown,
    /// The end of it is missing.
    CutShort,
    /// It cannot be made out.
    Broken,
    /// A JPEG whose colours are saved one after the other, without passes: rare, and its reader mistakes them.
    Rare,
    /// More pixels than [`MOST_MEGAPIXELS`], or a side that is far too long.
    TooManyPixels {
        /// Across, as saved.
        width: u32,
        /// From top to bottom, as saved.
        height: u32,
    },
    /// The file could not be read.
    Unread(Unread),
}

impl Fault {
    /// As a diagnostic at the place that shows the photo.
    pub fn tell(&self, span: Span) -> Diagnostic {
        let (code, message, help) = match self {
            Fault::Heic => (
                Code::PhotoHeic,
                "this photo is HEIC, which browsers cannot show".to_owned(),
                "Export it as JPEG and name that file here. On an iPhone, Settings, Camera, Formats, Most Compatible saves JPEG from now on.",
            ),
            Fault::Unknown => (
                Code::PhotoBroken,
                "this file is no JPEG, PNG or WebP, whatever its name says".to_owned(),
                "Open it in a picture program and save it as JPEG.",
            ),
            Fault::CutShort => (
                Code::PhotoBroken,
                "the end of this photo is missing".to_owned(),
                "Copy it from the phone or camera again: the copy stopped half way.",
            ),
            Fault::Broken => (
                Code::PhotoBroken,
                "this photo is damaged and cannot be read".to_owned(),
                "Copy it from the phone or camera again.",
            ),
            Fault::Rare => (
                Code::PhotoBroken,
                "this photo is a JPEG of a rare form, which is not read rightly".to_owned(),
                "Open it in a picture program and save it as JPEG again.",
            ),
            Fault::TooManyPixels { width, height } => (
                Code::PhotoTooLarge,
                format!(
                    "this photo is {width} by {height} pixels, and {MOST_MEGAPIXELS} million are the most"
                ),
                "Save it smaller: 4000 pixels across are plenty.",
            ),
            Fault::Unread(Unread::TooLarge) => (
                Code::PhotoTooLarge,
                format!(
                    "this photo's file is larger than {} MB",
                    store::LARGEST_PHOTO / 1024 / 1024
                ),
                "Save it smaller: 4000 pixels across are plenty.",
            ),
            Fault::Unread(Unread::Refused(cause)) => (
                Code::PhotoBroken,
                format!("this photo could not be read: {cause}"),
                "Look at its permissions, and whether it is still there.",
            ),
            Fault::Unread(_) => (
                Code::PhotoBroken,
                "this photo is no file that can be read".to_owned(),
                "Put the photo itself here.",
            ),
        };
        Diagnostic::error(code, span, message, help)
    }
}

/// Looks at every photo that a text of the diary shows, and tells at each place of one that cannot be shown.
///
/// One photo is held in memory for each core at a time.
pub fn look_at_all(read: &mut Read) {
    let shown = shown(&read.diary);
    let seen: Vec<(&String, Result<SeenPhoto, Fault>)> = shown
        .par_iter()
        .filter_map(|(path, _)| {
            let photo = read.diary.photos.get(path)?;
            let seen = store::photo(&photo.stored)
                .map_err(Fault::Unread)
                .and_then(|bytes| look(&bytes));
            Some((path, seen))
        })
        .collect();
    for (path, seen) in seen {
        match seen {
            Ok(seen) => {
                let photo = read.diary.photos.get_mut(path).expect("just looked at");
                photo.seen = Some(seen);
            }
            Err(fault) => {
                let places = shown[path].iter();
                read.diagnostics
                    .extend(places.map(|span| fault.tell(*span)));
            }
        }
    }
}

/// The photos that texts show outside their private blocks, by path, each with its places.
pub fn shown(diary: &Diary) -> BTreeMap<String, Vec<Span>> {
    let bodies = diary
        .jobs
        .iter()
        .map(|job| &job.body)
        .chain(diary.pages.iter().map(|page| &page.body));
    let mut shown: BTreeMap<String, Vec<Span>> = BTreeMap::new();
    for link in bodies
        .flat_map(|body| &body.links)
        .filter(|link| link.picture && !link.private && kind(&link.path) == Some(Kind::Shown))
    {
        shown.entry(link.path.clone()).or_default().push(link.span);
    }
    shown
}

/// What a photo's bytes say of it.
///
/// # Errors
/// It is no photo that can be shown.
pub fn look(bytes: &[u8]) -> Result<SeenPhoto, Fault> {
    let mut decoder = decoder(bytes)?;
    let (width, height) = decoder.dimensions();
    let way_up = decoder.orientation().map_err(|_| Fault::Broken)?;
    let (width, height) = match lies_on_its_side(way_up) {
        true => (height, width),
        false => (width, height),
    };
    Ok(SeenPhoto {
        digest: blake3::hash(bytes),
        width,
        height,
    })
}

/// Whether a photo is saved lying on its side.
pub fn lies_on_its_side(way_up: Orientation) -> bool {
    matches!(
        way_up,
        Orientation::Rotate90
            | Orientation::Rotate270
            | Orientation::Rotate90FlipH
            | Orientation::Rotate270FlipH
    )
}

/// The reader of a photo's pixels, with nothing of them read yet.
///
/// # Errors
/// It is no whole photo, or more than memory should hold.
pub fn decoder(bytes: &[u8]) -> Result<impl ImageDecoder + '_, Fault> {
    if is_heic(bytes) {
        return Err(Fault::Heic);
    }
    let reader = ImageReader::new(Cursor::new(bytes))
        .with_guessed_format()
        .map_err(|_| Fault::Unknown)?;
    let format = reader.format().ok_or(Fault::Unknown)?;
    let known = [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP];
    if !known.contains(&format) {
        return Err(Fault::Unknown);
    }
    if !is_whole(bytes, format) {
        return Err(Fault::CutShort);
    }
    if format == ImageFormat::Jpeg && colours_apart(bytes) {
        return Err(Fault::Rare);
    }
    let decoder = reader.into_decoder().map_err(|_| Fault::Broken)?;
    let (width, height) = decoder.dimensions();
    let pixels = u64::from(width) * u64::from(height);
    if pixels > u64::from(MOST_MEGAPIXELS) * 1_000_000 || width.max(height) > LONGEST_SIDE {
        return Err(Fault::TooManyPixels { width, height });
    }
    Ok(decoder)
}

/// Whether the bytes are those of the ISO container with a picture in it: HEIC and its kin (ISO/IEC 23008-12).
fn is_heic(bytes: &[u8]) -> bool {
    const BRANDS: [&[u8]; 8] = [
        b"heic", b"heix", b"heim", b"heis", b"hevc", b"mif1", b"msf1", b"avif",
    ];
    bytes.get(4..8) == Some(b"ftyp")
        && bytes
            .get(8..12)
            .is_some_and(|brand| BRANDS.contains(&brand))
}

/// Whether a file reaches its own end: a copy that stopped half way looks like a photo from its first bytes, and its
/// reader would fill the rest with grey.
fn is_whole(bytes: &[u8], format: ImageFormat) -> bool {
    let last = |mark: &[u8]| bytes.windows(mark.len()).rposition(|at| at == mark);
    match format {
        // The small picture within a photo's notes has an end of its own, which comes before the pixels begin.
        ImageFormat::Jpeg => match (last(&[0xff, 0xd9]), segments(bytes).last()) {
            (Some(end), Some((SCAN, start))) => end > start,
            _ => false,
        },
        ImageFormat::Png => last(b"IEND").is_some(),
        ImageFormat::WebP => bytes
            .get(4..8)
            .and_then(|size| size.try_into().ok())
            .is_some_and(|size| u64::from(u32::from_le_bytes(size)) + 8 <= bytes.len() as u64),
        _ => true,
    }
}

/// Marker of a scan, behind whose head the pixels begin (ITU-T T.81, B.1.1).
const SCAN: u8 = 0xda;

/// The segments of a JPEG up to its first scan: marker, and where the segment's length stands. Ends early where the file
/// does, or where something else stands.
fn segments(bytes: &[u8]) -> impl Iterator<Item = (u8, usize)> + '_ {
    let mut next = Some(2);
    std::iter::from_fn(move || {
        let mut at = next.take()?;
        // Any number of ff may stand before a marker.
        while bytes.get(at)? == &0xff && bytes.get(at + 1)? == &0xff {
            at += 1;
        }
        let &[0xff, marker, high, low] = bytes.get(at..at + 4)? else {
            return None;
        };
        if marker != SCAN {
            next = Some(at + 2 + usize::from(u16::from_be_bytes([high, low])).max(2));
        }
        Some((marker, at + 2))
    })
}

/// Whether a JPEG without passes saves its colours one after the other: its first scan holds fewer than the frame.
fn colours_apart(bytes: &[u8]) -> bool {
    const FRAMES_WITHOUT_PASSES: [u8; 2] = [0xc0, 0xc1];
    let mut in_frame = 0;
    for (marker, at) in segments(bytes) {
        if FRAMES_WITHOUT_PASSES.contains(&marker) {
            in_frame = bytes.get(at + 7).copied().unwrap_or_default();
        } else if marker == SCAN {
            return bytes.get(at + 2).is_some_and(|in_scan| *in_scan < in_frame);
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_is_known_by_the_end_of_its_name() {
        assert_eq!(kind("jobs/x/IMG_1.JPG"), Some(Kind::Shown));
        assert_eq!(kind("a.webp"), Some(Kind::Shown));
        assert_eq!(kind("IMG_1.HEIC"), Some(Kind::Heic));
        assert_eq!(kind("a.svg"), None);
        assert_eq!(kind("jpg"), None);
    }

    #[test]
    fn heic_is_known_whatever_it_is_called() {
        assert_eq!(
            look(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic"),
            Err(Fault::Heic)
        );
    }

    #[test]
    fn what_is_no_photo_is_told_and_never_a_fault_of_the_program() {
        assert_eq!(look(b""), Err(Fault::Unknown));
        assert_eq!(look(b"not a photo at all"), Err(Fault::Unknown));
        assert_eq!(look(b"GIF89a\x01\0\x01\0"), Err(Fault::Unknown));
        assert_eq!(look(b"\xff\xd8\xff\xe1"), Err(Fault::CutShort));
        assert_eq!(look(b"\x89PNG\r\n\x1a\n"), Err(Fault::CutShort));
        assert_eq!(look(b"RIFF\xff\0\0\0WEBPVP8 "), Err(Fault::CutShort));
    }
}
