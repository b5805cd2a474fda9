//! Writes a diary with many photos of 12 megapixels, to measure how long a press takes over them and how much memory.
//!
//! `cargo run --release --example many_photos -- DIR 1000`. The same bytes on every run; twenty photos to a log.

use std::fmt::Write as _;
use std::fs;
use std::path::Path;

use jpeg_encoder::{ColorType, Encoder};

const WIDTH: u16 = 4000;
const HEIGHT: u16 = 3000;
const IN_A_LOG: usize = 20;

const DIARY: &str = "\
title: Many photos
trader: {name: Nan Tregarrow, trading_as: Gullwick Electrical, phone: 01632 960123, email: nan@example.com}
site: {address: https://example.com, language: en-GB, timezone: Europe/London}
locations: {boat-shed: Boat shed}
";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(count)) = (arguments.next(), arguments.next()) else {
        return Err("usage: many_photos DIR COUNT".into());
    };
    let (folder, count) = (Path::new(&folder), count.parse::<usize>()?);
    fs::create_dir_all(folder)?;
    fs::write(folder.join("diary.yaml"), DIARY)?;
    let grain = grain();
    for first in (0..count).step_by(IN_A_LOG) {
        let log = format!("log-{}", first / IN_A_LOG + 1);
        let jobs = folder.join("jobs/2026");
        fs::create_dir_all(jobs.join(&log))?;
        let mut text = format!(
            "---\ntitle: Log {number}\nref: 2026-{number:03}\nlocation: boat-shed\nvisits: [{{date: 2026-03-12, time: 2h}}]\npublish: ready\n---\n\nPhotos.\n\n```photos\n",
            number = first / IN_A_LOG + 1,
        );
        for number in first..count.min(first + IN_A_LOG) {
            writeln!(text, "photo-{number}.jpg: Photo {number}")?;
            let path = jobs.join(&log).join(format!("photo-{number}.jpg"));
            Encoder::new_file(path, 85)?.encode(
                &photo(&grain, number),
                WIDTH,
                HEIGHT,
                ColorType::Rgb,
            )?;
        }
        text.push_str("```\n");
        fs::write(jobs.join(format!("{log}.md")), text)?;
    }
    Ok(())
}

/// A sky that darkens from left to right with the grain of a sensor in it: three bytes a pixel, two rows' worth more than
/// a photo has.
fn grain() -> Vec<u8> {
    let mut state = 0x2545_f491_u32;
    let width = usize::from(WIDTH);
    (0..(usize::from(HEIGHT) + 2) * width * 3)
        .map(|at| {
            state ^= state << 13;
            state ^= state >> 17;
            state ^= state << 5;
            let across = at / 3 % width;
            let light = 220 - across * 180 / width;
            u8::try_from(light).unwrap_or(0) + (state >> 28) as u8
        })
        .collect()
}

/// The photo of this number: the grain from another pixel on.
fn photo(grain: &[u8], number: usize) -> Vec<u8> {
    let bytes = usize::from(WIDTH) * usize::from(HEIGHT) * 3;
    let from = number * 3 % (usize::from(WIDTH) * 6);
    grain[from..from + bytes].to_vec()
}
