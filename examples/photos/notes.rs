//! The notes of a camera that does not exist (Exif 2.32, TIFF 6.0): maker, way up, day, and a place far out at sea.

/// How a camera was held.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Orientation {
    /// As it should be.
    Upright,
    /// Turned a quarter: the photo is saved lying down.
    OnItsSide,
    /// Turned a half.
    UpsideDown,
}

/// Words that no file of a site may hold.
pub const MAKER: &str = "Planted Camera Works";

/// The notes as a TIFF structure, low byte first.
pub fn exif(orientation: Orientation) -> Vec<u8> {
    let way_up: u16 = match orientation {
        Orientation::Upright => 1,
        Orientation::OnItsSide => 6,
        Orientation::UpsideDown => 3,
    };
    let text = |words: &str| format!("{words}\0").into_bytes();
    let thirds = |degrees: [u32; 3]| -> Vec<u8> {
        degrees
            .iter()
            .flat_map(|part| [*part, 1])
            .flat_map(u32::to_le_bytes)
            .collect()
    };
    let place = Table(vec![
        (1, 2, text("N")),
        (2, 5, thirds([49, 40, 12])),
        (3, 2, text("W")),
        (4, 5, thirds([8, 20, 31])),
    ]);
    let mut first = vec![
        (0x010f, 2, text(MAKER)),
        (0x0112, 3, way_up.to_le_bytes().to_vec()),
        (0x0132, 2, text("2026:03:12 15:47:02")),
        (0x8825, 4, vec![0; 4]),
    ];
    let after = 8 + u32::try_from(Table(first.clone()).bytes(8).len()).expect("short");
    first[3].2 = after.to_le_bytes().to_vec();
    let mut notes = b"II\x2a\0\x08\0\0\0".to_vec();
    notes.extend(Table(first).bytes(8));
    notes.extend(place.bytes(after));
    notes
}

/// A table of notes: tag, kind (2 text, 3 short, 4 long, 5 fraction), value.
struct Table(Vec<(u16, u16, Vec<u8>)>);

impl Table {
    /// Its bytes where it stands at this offset: the entries, then the values that are longer than four bytes.
    fn bytes(&self, at: u32) -> Vec<u8> {
        let length = |n: usize| u32::try_from(n).expect("short");
        let mut behind = at + 2 + 12 * length(self.0.len()) + 4;
        let mut values = Vec::new();
        let mut out = u16::try_from(self.0.len())
            .expect("short")
            .to_le_bytes()
            .to_vec();
        for (tag, kind, value) in &self.0 {
            let each = match kind {
                2 => 1,
                3 => 2,
                4 => 4,
                _ => 8,
            };
            out.extend(tag.to_le_bytes());
            out.extend(kind.to_le_bytes());
            out.extend(length(value.len() / each).to_le_bytes());
            if value.len() <= 4 {
                out.extend(value);
                out.extend(vec![0; 4 - value.len()]);
            } else {
                out.extend(behind.to_le_bytes());
                behind += length(value.len() + value.len() % 2);
                values.extend(value);
                values.extend(vec![0; value.len() % 2]);
            }
        }
        out.extend([0; 4]);
        out.extend(values);
        out
    }
}
