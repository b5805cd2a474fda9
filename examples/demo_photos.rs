//! Draws the demo's photos and writes them as a camera would: with its notes, a place and a day among them.
//!
//! `cargo run --example demo_photos -- example-site`. The same bytes on every run. What the notes say is planted, so
//! that tests can look for it in what readers get; nothing of it is anybody's.

mod photos {
    pub mod canvas;
    pub mod notes;
    pub mod scenes;
}

use std::path::Path;

use image::imageops::{rotate90, rotate270};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};

use photos::canvas::Canvas;
use photos::notes::{Orientation, exif};
use photos::scenes;

/// A scene of the demo, and the file it goes to below the diary.
type Scene = (&'static str, fn() -> Canvas, Orientation);

const SCENES: [Scene; 5] = [
    (
        "jobs/2026/two-shore-power-outlets-and-a-long-run/pillar.jpg",
        scenes::pillar,
        Orientation::Upright,
    ),
    (
        "jobs/2026/two-shore-power-outlets-and-a-long-run/post.jpg",
        scenes::post,
        Orientation::OnItsSide,
    ),
    (
        "jobs/2024/the-yard-pumps-at-one-in-the-morning/box-as-found.jpg",
        scenes::box_as_found,
        Orientation::Upright,
    ),
    (
        "jobs/2024/the-yard-pumps-at-one-in-the-morning/box-renewed.jpg",
        scenes::box_renewed,
        Orientation::Upright,
    ),
    (
        "jobs/2024/nine-emergency-lights-and-a-gap-in-the-board/blank.jpg",
        scenes::blank,
        Orientation::UpsideDown,
    ),
];

fn main() {
    let diary = std::env::args().nth(1).expect("the diary's folder");
    for (path, draw, orientation) in SCENES {
        let upright = draw().into_image();
        let saved = match orientation {
            Orientation::Upright => upright,
            // A camera held on its side saves what it saw, and a note of how to turn it.
            Orientation::OnItsSide => rotate270(&upright),
            Orientation::UpsideDown => rotate90(&rotate90(&upright)),
        };
        let mut jpeg = Vec::new();
        let mut encoder = Encoder::new(&mut jpeg, 82);
        encoder.set_sampling_factor(SamplingFactor::R_4_2_0);
        encoder
            .add_exif_metadata(&exif(orientation))
            .expect("a short note");
        let side = |pixels: u32| u16::try_from(pixels).expect("a small picture");
        encoder
            .encode(
                saved.as_raw(),
                side(saved.width()),
                side(saved.height()),
                ColorType::Rgb,
            )
            .expect("a small picture");
        let target = Path::new(&diary).join(path);
        let folder = target.parent().expect("below the diary");
        std::fs::create_dir_all(folder).expect("the folder beside the log");
        std::fs::write(target, jpeg).expect("the disk takes it");
    }
}
