//! A camera's photo as the files of the site: upright, in sRGB, in the sizes that [`crate::public::photos`] names, and
//! with nothing in them but pixels.
//!
//! A pure function of the photo's bytes. Only pixels pass: they are decoded, made small and encoded anew, so that no
//! note of the camera's (place, day, owner, small picture, profile) has a way through. Reads and writes no file.

use fast_image_resize::images::Image;
use fast_image_resize::{FilterType, PixelType, ResizeAlg, ResizeOptions, Resizer};
use image::metadata::Orientation;
use image::{DynamicImage, ImageDecoder, Limits, RgbImage};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use moxcms::{ColorProfile, DataColorSpace, Layout, TransformOptions};

use crate::diary::photo::{self, Fault};
use crate::public::photos::{WIDTHS, sizes};

/// Counts up when the same photo gives other bytes than before.
const CONVERTER: u32 = 1;
/// Of 100; below it, the edges of print on a label begin to ring.
const QUALITY: u8 = 76;
const BYTES_PER_PIXEL: u64 = 3;

/// One size of a photo.
#[derive(Clone, Debug)]
pub struct Converted {
    /// Pixels across.
    pub width: u32,
    /// A whole JPEG file.
    pub jpeg: Vec<u8>,
}

/// What the files of a photo are kept by: its bytes, and everything else that decides what they become.
pub fn key(digest: blake3::Hash) -> blake3::Hash {
    let mut hasher = blake3::Hasher::new();
    hasher.update(digest.as_bytes()).update(&[QUALITY]);
    for number in [CONVERTER].iter().chain(&WIDTHS) {
        hasher.update(&number.to_le_bytes());
    }
    hasher.finalize()
}

/// The most bytes of memory that [`convert`] takes for a photo of these pixels, beside those of the file.
///
/// Pixels as the file holds them and as three bytes each, and for a JPEG that is saved in passes two bytes more of each
/// colour: eight bytes a pixel for the deepest PNG, nine for such a JPEG.
pub fn memory(width: u32, height: u32) -> u64 {
    u64::from(width) * u64::from(height) * (BYTES_PER_PIXEL + 8)
}

/// Every size of a photo, narrowest first.
///
/// # Errors
/// The bytes are no photo that can be shown.
pub fn convert(bytes: &[u8]) -> Result<Vec<Converted>, Fault> {
    let mut decoder = photo::decoder(bytes)?;
    let (width, height) = decoder.dimensions();
    let way_up = decoder.orientation().map_err(|_| Fault::Broken)?;
    // A profile that cannot be read is no reason to show nothing: the photo is taken for sRGB, as browsers do.
    let profile = decoder.icc_profile().ok().flatten();
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(memory(width, height) + bytes.len() as u64);
    decoder.set_limits(limits).map_err(|_| Fault::Broken)?;
    let pixels = DynamicImage::from_decoder(decoder).map_err(|_| Fault::Broken)?;
    let mut pixels = on_white(pixels);

    let sideways = photo::lies_on_its_side(way_up);
    let upright = if sideways {
        (height, width)
    } else {
        (width, height)
    };
    let mut converted = Vec::new();
    // From the widest down, each from the one before: the many pixels are gone through once.
    for (number, (across, high)) in sizes(upright.0, upright.1).into_iter().rev().enumerate() {
        let (across_as_saved, high_as_saved) = if sideways && number == 0 {
            (high, across)
        } else {
            (across, high)
        };
        pixels = smaller(pixels, across_as_saved, high_as_saved);
        if number == 0 {
            // Made small before they are turned and coloured, which costs by the pixel.
            if let Some(profile) = &profile {
                to_srgb(&mut pixels, profile);
            }
            pixels = turned(pixels, way_up);
        }
        converted.push(Converted {
            width: across,
            jpeg: jpeg(&pixels)?,
        });
    }
    converted.reverse();
    Ok(converted)
}

/// Three bytes a pixel; what can be seen through is seen on white.
fn on_white(pixels: DynamicImage) -> RgbImage {
    if !pixels.color().has_alpha() {
        return pixels.into_rgb8();
    }
    let through = pixels.into_rgba8();
    let (width, height) = through.dimensions();
    let mut on_white = Vec::with_capacity(through.len() / 4 * 3);
    for [red, green, blue, cover] in through.as_raw().as_chunks::<4>().0 {
        let over = |colour: u8| {
            let (colour, cover) = (u32::from(colour), u32::from(*cover));
            let mixed = (colour * cover + 255 * (255 - cover) + 127) / 255;
            u8::try_from(mixed).expect("a mean of two bytes is one")
        };
        on_white.extend([over(*red), over(*green), over(*blue)]);
    }
    RgbImage::from_raw(width, height, on_white).expect("three bytes for each pixel")
}

fn smaller(pixels: RgbImage, width: u32, height: u32) -> RgbImage {
    if pixels.dimensions() == (width, height) {
        return pixels;
    }
    let (from_width, from_height) = pixels.dimensions();
    let from = Image::from_vec_u8(from_width, from_height, pixels.into_raw(), PixelType::U8x3)
        .expect("three bytes for each pixel");
    let mut to = Image::new(width, height, PixelType::U8x3);
    let options = ResizeOptions::new().resize_alg(ResizeAlg::Convolution(FilterType::Lanczos3));
    Resizer::new()
        .resize(&from, &mut to, &options)
        .expect("both are three bytes a pixel and neither is empty");
    RgbImage::from_raw(width, height, to.into_vec()).expect("three bytes for each pixel")
}

/// The colours that a profile means, in sRGB. A profile that is none of red, green and blue is passed over: its pixels
/// are no longer those it speaks of.
fn to_srgb(pixels: &mut RgbImage, profile: &[u8]) {
    let Ok(profile) = ColorProfile::new_from_slice(profile) else {
        return;
    };
    if profile.color_space != DataColorSpace::Rgb {
        return;
    }
    let srgb = ColorProfile::new_srgb();
    let options = TransformOptions::default();
    let Ok(transform) = profile.create_transform_8bit(Layout::Rgb, &srgb, Layout::Rgb, options)
    else {
        return;
    };
    let mut meant = vec![0; pixels.len()];
    if transform.transform(pixels.as_raw(), &mut meant).is_ok() {
        pixels.copy_from_slice(&meant);
    }
}

fn turned(pixels: RgbImage, way_up: Orientation) -> RgbImage {
    let mut image = DynamicImage::ImageRgb8(pixels);
    image.apply_orientation(way_up);
    image.into_rgb8()
}

fn jpeg(pixels: &RgbImage) -> Result<Vec<u8>, Fault> {
    let side = |pixels: u32| u16::try_from(pixels).map_err(|_| Fault::Broken);
    let (width, height) = (side(pixels.width())?, side(pixels.height())?);
    let mut jpeg = Vec::new();
    let mut encoder = Encoder::new(&mut jpeg, QUALITY);
    encoder.set_sampling_factor(SamplingFactor::R_4_2_0);
    // In passes: smaller, and the one form with tables of its own that every reader knows.
    encoder.set_progressive(true);
    encoder.set_optimized_huffman_tables(true);
    encoder
        .encode(pixels.as_raw(), width, height, ColorType::Rgb)
        .map_err(|_| Fault::Broken)?;
    Ok(jpeg)
}
