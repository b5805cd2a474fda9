//! A canvas of floating colours with a few brushes: boxes that are lit from above left, rounds, cables, grain.

use image::RgbImage;

/// Red, green and blue, nought to one.
pub type Colour = [f32; 3];

/// What is drawn on. Lengths are in pixels from the top left.
pub struct Canvas {
    width: u32,
    height: u32,
    pixels: Vec<Colour>,
}

impl Canvas {
    /// A ground that goes from one colour at the top to another at the foot.
    pub fn new(width: u32, height: u32, top: Colour, foot: Colour) -> Self {
        let row = |y: u32| mix(top, foot, y as f32 / height as f32);
        let pixels = (0..height)
            .flat_map(|y| vec![row(y); width as usize])
            .collect();
        Canvas {
            width,
            height,
            pixels,
        }
    }

    /// Lays a colour over every pixel as far as `cover` says (nought to one) at its place.
    pub fn lay(
        &mut self,
        colour: impl Fn(f32, f32, Colour) -> Colour,
        cover: impl Fn(f32, f32) -> f32,
    ) {
        for y in 0..self.height {
            for x in 0..self.width {
                let (px, py) = (x as f32 + 0.5, y as f32 + 0.5);
                let cover = cover(px, py).clamp(0.0, 1.0);
                if cover > 0.0 {
                    let pixel = &mut self.pixels[(y * self.width + x) as usize];
                    *pixel = mix(*pixel, colour(px, py, *pixel), cover);
                }
            }
        }
    }

    /// A box with rounded corners and a bevel, and the shadow it throws.
    pub fn block(&mut self, [x, y, w, h]: [f32; 4], round: f32, colour: Colour) {
        let inside = move |px: f32, py: f32| rounded(px, py, [x, y, w, h], round);
        self.lay(
            |_, _, under| scale(under, 0.45),
            |px, py| 0.8 * (0.5 - rounded(px - 10.0, py - 14.0, [x, y, w, h], round) / 22.0),
        );
        self.lay(
            |px, py, _| {
                let lit = 1.08 - 0.22 * ((px - x) / w * 0.4 + (py - y) / h * 0.6);
                let edge = (1.0 + inside(px, py) / 7.0).clamp(0.0, 1.0);
                let upper = (px - x) / w + (py - y) / h < 1.0;
                scale(colour, lit + edge * if upper { 0.22 } else { -0.28 })
            },
            |px, py| 0.5 - inside(px, py),
        );
    }

    /// A flat box without a shadow: print, a slot, a label.
    pub fn flat(&mut self, at: [f32; 4], round: f32, colour: Colour) {
        self.lay(|_, _, _| colour, |px, py| 0.5 - rounded(px, py, at, round));
    }

    /// A round thing that bulges: a gland, a screw, a lamp.
    pub fn round(&mut self, [x, y]: [f32; 2], radius: f32, colour: Colour) {
        self.lay(
            |_, _, under| scale(under, 0.5),
            |px, py| 0.7 * (0.5 - (far(px - 5.0, py - 8.0, x, y) - radius) / 10.0),
        );
        self.lay(
            |px, py, _| {
                let lit = 1.05 - 0.45 * ((px - x) + (py - y)) / (2.0 * radius);
                scale(colour, lit)
            },
            |px, py| radius - far(px, py, x, y) + 0.5,
        );
    }

    /// A cable through points, round and lit from above.
    pub fn cable(&mut self, points: &[[f32; 2]], thick: f32, colour: Colour) {
        let near = |px: f32, py: f32| {
            let legs = points.windows(2).map(|leg| leg_far(px, py, leg[0], leg[1]));
            legs.fold(f32::MAX, f32::min)
        };
        self.lay(
            |_, _, under| scale(under, 0.55),
            |px, py| 0.6 * (0.5 - (near(px - 6.0, py - 10.0) - thick) / 12.0),
        );
        self.lay(
            |px, py, _| scale(colour, 1.15 - 0.55 * (near(px, py) / thick).powi(2)),
            |px, py| thick - near(px, py) + 0.5,
        );
    }

    /// Stains of a colour, thickest where `where_` says (nought to one): rust, salt, damp.
    pub fn stain(
        &mut self,
        colour: Colour,
        size: f32,
        seed: u32,
        where_: impl Fn(f32, f32) -> f32,
    ) {
        self.lay(
            |_, _, under| mix(under, colour, 0.85),
            |px, py| {
                let cloud = 0.6 * noise(px / size, py / size, seed)
                    + 0.4 * noise(px / size * 3.1, py / size * 3.1, seed + 1);
                (where_(px, py) + cloud - 1.0) * 2.5
            },
        );
    }

    /// The picture, with a lens's darker corners and a sensor's grain.
    pub fn into_image(mut self) -> RgbImage {
        let (w, h) = (self.width as f32, self.height as f32);
        self.lay(
            |px, py, under| {
                let corner = far(px / w, py / h, 0.5, 0.5);
                let grain = noise(px / 1.7, py / 1.7, 99) - 0.5;
                scale(under, 1.04 - 0.38 * corner * corner + grain * 0.035)
            },
            |_, _| 1.0,
        );
        let bytes = self
            .pixels
            .iter()
            .flatten()
            .map(|part| (part.clamp(0.0, 1.0) * 255.0).round() as u8)
            .collect();
        RgbImage::from_raw(self.width, self.height, bytes).expect("three for each pixel")
    }
}

/// Between two colours.
pub fn mix(a: Colour, b: Colour, much: f32) -> Colour {
    [0, 1, 2].map(|part| a[part] + (b[part] - a[part]) * much)
}

fn scale(colour: Colour, by: f32) -> Colour {
    colour.map(|part| part * by)
}

fn far(px: f32, py: f32, x: f32, y: f32) -> f32 {
    ((px - x).powi(2) + (py - y).powi(2)).sqrt()
}

/// How far a point is outside a box with rounded corners; below nought inside it.
fn rounded(px: f32, py: f32, [x, y, w, h]: [f32; 4], round: f32) -> f32 {
    let dx = (px - x - w / 2.0).abs() - w / 2.0 + round;
    let dy = (py - y - h / 2.0).abs() - h / 2.0 + round;
    dx.max(dy).min(0.0) + far(dx.max(0.0), dy.max(0.0), 0.0, 0.0) - round
}

/// How far a point is from a line between two others.
fn leg_far(px: f32, py: f32, [ax, ay]: [f32; 2], [bx, by]: [f32; 2]) -> f32 {
    let (dx, dy) = (bx - ax, by - ay);
    let along = (((px - ax) * dx + (py - ay) * dy) / (dx * dx + dy * dy)).clamp(0.0, 1.0);
    far(px, py, ax + along * dx, ay + along * dy)
}

/// Smooth noise, nought to one, the same on every machine.
fn noise(x: f32, y: f32, seed: u32) -> f32 {
    let (cx, cy) = (x.floor(), y.floor());
    let corner = |dx: i32, dy: i32| {
        let mut n = (cx as i32 + dx) as u32;
        n = n.wrapping_mul(0x9e37_79b1) ^ ((cy as i32 + dy) as u32).wrapping_mul(0x85eb_ca77);
        n ^= seed.wrapping_mul(0xc2b2_ae3d);
        n = (n ^ (n >> 15)).wrapping_mul(0x2c1b_3c6d);
        n = (n ^ (n >> 12)).wrapping_mul(0x297a_2d39);
        (n ^ (n >> 15)) as f32 / u32::MAX as f32
    };
    let smooth = |t: f32| t * t * (3.0 - 2.0 * t);
    let (tx, ty) = (smooth(x - cx), smooth(y - cy));
    let top = corner(0, 0) + (corner(1, 0) - corner(0, 0)) * tx;
    let foot = corner(0, 1) + (corner(1, 1) - corner(0, 1)) * tx;
    top + (foot - top) * ty
}
