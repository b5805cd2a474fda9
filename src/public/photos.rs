//! Photos on the site: the sizes each goes out in, and the address of each size.
//!
//! An address says only the page and the photo's number on it: the file's own name stays at home, for it may hold an
//! address. Makes no bytes.

use crate::model::SeenPhoto;

use super::view::PhotoFile;

/// How wide photos go out, in pixels, narrowest first: a phone, a phone with a fine screen or a desk, and a desk with a
/// fine screen, where a photo stands 36rem wide.
pub const WIDTHS: [u32; 3] = [480, 800, 1280];

/// The sizes of a photo of these upright pixels, narrowest first; never larger than it is itself, and none that is
/// hardly smaller than the largest. At least one.
pub fn sizes(width: u32, height: u32) -> Vec<(u32, u32)> {
    let [.., widest] = WIDTHS;
    let largest = width.min(widest);
    let high = |across: u32| {
        let exact = (f64::from(across) * f64::from(height) / f64::from(width)).round();
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "no side of a photo is longer than the longest that is taken in"
        )]
        let high = exact as u32;
        (across, high.max(1))
    };
    let smaller = WIDTHS
        .into_iter()
        .filter(|across| across + across / 4 <= largest);
    smaller.chain([largest]).map(high).collect()
}

/// The size of a photo that serves most readers: for a browser that knows of no others, and for the office book.
pub fn usual(seen: SeenPhoto) -> PhotoFile {
    let sizes = sizes(seen.width, seen.height);
    PhotoFile {
        digest: seen.digest,
        width: sizes[sizes.len() / 2].0,
    }
}

/// The address of a size of the page's photo of this number: `write-ups/x/photo-1-800.jpg`.
pub(super) fn address(page_link: &str, number: usize, width: u32) -> String {
    format!("{page_link}photo-{number}-{width}.jpg")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_photo_is_made_smaller_and_never_larger() {
        assert_eq!(sizes(4032, 3024), [(480, 360), (800, 600), (1280, 960)]);
        assert_eq!(sizes(1000, 500), [(480, 240), (800, 400), (1000, 500)]);
        assert_eq!(sizes(900, 1200), [(480, 640), (900, 1200)]);
        assert_eq!(sizes(480, 640), [(480, 640)]);
        assert_eq!(sizes(1, 1), [(1, 1)]);
        assert_eq!(sizes(20_000, 3), [(480, 1), (800, 1), (1280, 1)]);
    }

    #[test]
    fn the_usual_size_is_the_middle_one_and_its_address_says_its_width() {
        let usual = |width, height| {
            let digest = blake3::hash(b"a photo");
            usual(SeenPhoto {
                digest,
                width,
                height,
            })
            .width
        };
        assert_eq!(
            (usual(4032, 3024), usual(900, 1200), usual(480, 640)),
            (800, 900, 480)
        );
        assert_eq!(
            address("write-ups/x/", 2, 800),
            "write-ups/x/photo-2-800.jpg"
        );
    }
}
