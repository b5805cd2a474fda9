//! What is on the demo's photos.

use super::canvas::{Canvas, Colour};

const STEEL: Colour = [0.58, 0.60, 0.60];
const GREY_BOX: Colour = [0.66, 0.68, 0.67];
const DARK: Colour = [0.10, 0.10, 0.11];
const CREAM: Colour = [0.86, 0.85, 0.80];
const WALL: Colour = [0.55, 0.52, 0.47];
const RUST: Colour = [0.45, 0.22, 0.09];
const SALT_GREEN: Colour = [0.28, 0.55, 0.45];
const BRASS: Colour = [0.72, 0.56, 0.28];
const BLUE: Colour = [0.10, 0.26, 0.55];
const BLACK: Colour = [0.13, 0.13, 0.14];

/// A row of devices in a board, each with its lever.
fn devices(canvas: &mut Canvas, [x, y]: [f32; 2], count: usize, off: &[usize]) {
    for number in 0..count {
        let left = x + 66.0 * number as f32;
        canvas.block([left, y, 60.0, 170.0], 5.0, [0.90, 0.90, 0.87]);
        canvas.flat([left + 14.0, y + 58.0, 32.0, 54.0], 4.0, [0.25, 0.26, 0.28]);
        let lever = if off.contains(&number) { 86.0 } else { 60.0 };
        canvas.block(
            [left + 18.0, y + lever, 24.0, 24.0],
            3.0,
            [0.12, 0.12, 0.13],
        );
        canvas.flat([left + 10.0, y + 22.0, 40.0, 5.0], 1.0, [0.45, 0.46, 0.48]);
        canvas.flat([left + 10.0, y + 32.0, 28.0, 4.0], 1.0, [0.60, 0.61, 0.62]);
        canvas.round([left + 30.0, y + 148.0], 8.0, STEEL);
    }
}

/// A feeder pillar at the head of a pontoon, its door off.
pub fn pillar() -> Canvas {
    let mut canvas = Canvas::new(1200, 900, [0.74, 0.78, 0.80], [0.36, 0.42, 0.44]);
    canvas.stain([0.22, 0.29, 0.32], 70.0, 3, |_, y| {
        ((y - 380.0) / 260.0).clamp(0.0, 0.9)
    });
    for plank in 0..5 {
        let y = 700.0 + 46.0 * plank as f32;
        canvas.block([-20.0, y, 1240.0, 42.0], 2.0, [0.47, 0.41, 0.33]);
    }
    canvas.block([330.0, 70.0, 560.0, 690.0], 14.0, STEEL);
    canvas.flat([366.0, 108.0, 488.0, 610.0], 6.0, [0.20, 0.21, 0.22]);
    canvas.block([384.0, 210.0, 452.0, 16.0], 2.0, [0.50, 0.52, 0.53]);
    devices(&mut canvas, [400.0, 240.0], 6, &[4]);
    canvas.block([810.0, 240.0, 22.0, 170.0], 3.0, [0.30, 0.31, 0.32]);
    canvas.block([384.0, 440.0, 452.0, 70.0], 4.0, [0.62, 0.63, 0.62]);
    for screw in 0..9 {
        canvas.round([412.0 + 50.0 * screw as f32, 476.0], 12.0, BRASS);
    }
    for cable in 0..3 {
        let x = 440.0 + 130.0 * cable as f32;
        canvas.cable(
            &[[x, 505.0], [x + 10.0, 590.0], [x - 6.0, 640.0], [x, 780.0]],
            19.0,
            BLACK,
        );
        canvas.round([x - 3.0, 655.0], 32.0, BRASS);
    }
    canvas.stain(RUST, 34.0, 7, |x, y| {
        let on_it = (330.0..890.0).contains(&x) && y < 760.0;
        if on_it {
            ((y - 560.0) / 240.0).clamp(0.0, 0.85)
        } else {
            0.0
        }
    });
    canvas.flat([450.0, 138.0, 320.0, 44.0], 3.0, [0.93, 0.82, 0.18]);
    canvas.flat([470.0, 152.0, 220.0, 7.0], 1.0, DARK);
    canvas.flat([470.0, 166.0, 160.0, 5.0], 1.0, DARK);
    canvas
}

/// A post with a new outlet, taken upright by a camera held on its side.
pub fn post() -> Canvas {
    let mut canvas = Canvas::new(900, 1200, [0.70, 0.76, 0.80], [0.30, 0.38, 0.42]);
    canvas.stain([0.86, 0.90, 0.92], 120.0, 5, |_, y| 0.55 - (y / 900.0));
    canvas.stain([0.18, 0.25, 0.29], 46.0, 6, |_, y| {
        ((y - 500.0) / 400.0).clamp(0.0, 0.8)
    });
    for plank in 0..4 {
        let y = 1020.0 + 52.0 * plank as f32;
        canvas.block([-20.0, y, 940.0, 48.0], 2.0, [0.50, 0.44, 0.36]);
    }
    canvas.block([330.0, 130.0, 240.0, 950.0], 10.0, [0.70, 0.71, 0.69]);
    canvas.block([300.0, 320.0, 300.0, 330.0], 18.0, GREY_BOX);
    canvas.round([450.0, 460.0], 106.0, BLUE);
    canvas.round([450.0, 460.0], 78.0, [0.08, 0.20, 0.44]);
    for (x, y) in [(412.0, 440.0), (488.0, 440.0), (450.0, 506.0)] {
        canvas.round([x, y], 15.0, DARK);
    }
    canvas.block([390.0, 340.0, 120.0, 30.0], 8.0, [0.14, 0.34, 0.66]);
    canvas.flat([360.0, 592.0, 180.0, 38.0], 3.0, CREAM);
    canvas.flat([376.0, 604.0, 120.0, 6.0], 1.0, DARK);
    canvas.flat([376.0, 616.0, 80.0, 5.0], 1.0, DARK);
    canvas.cable(
        &[
            [450.0, 700.0],
            [450.0, 900.0],
            [420.0, 980.0],
            [330.0, 1060.0],
            [120.0, 1180.0],
        ],
        20.0,
        BLACK,
    );
    canvas.round([450.0, 690.0], 36.0, BRASS);
    canvas.round([450.0, 690.0], 24.0, [0.62, 0.47, 0.22]);
    for (x, y) in [
        (322.0, 342.0),
        (578.0, 342.0),
        (322.0, 628.0),
        (578.0, 628.0),
    ] {
        canvas.round([x, y], 9.0, STEEL);
    }
    canvas
}

fn pit_wall() -> Canvas {
    let mut canvas = Canvas::new(1200, 900, [0.50, 0.48, 0.44], [0.30, 0.29, 0.27]);
    for row in 0..9 {
        for brick in 0..8 {
            let x = 170.0 * brick as f32 - if row % 2 == 0 { 90.0 } else { 5.0 };
            let shade = 0.92 + 0.05 * ((row * 5 + brick * 3) % 4) as f32;
            let colour = WALL.map(|part| part * shade);
            canvas.block([x, 104.0 * row as f32 - 10.0, 162.0, 96.0], 5.0, colour);
        }
    }
    canvas.stain([0.19, 0.22, 0.17], 60.0, 11, |_, y| {
        ((y - 480.0) / 420.0).clamp(0.0, 0.75)
    });
    canvas
}

/// The old box of the pump pit, its lid off: a gland in its top, green terminals.
pub fn box_as_found() -> Canvas {
    let mut canvas = pit_wall();
    canvas.cable(
        &[[620.0, -20.0], [616.0, 90.0], [600.0, 200.0]],
        26.0,
        BLACK,
    );
    canvas.block([360.0, 230.0, 480.0, 440.0], 16.0, [0.42, 0.43, 0.42]);
    canvas.flat([392.0, 262.0, 416.0, 376.0], 8.0, [0.16, 0.17, 0.17]);
    canvas.block([556.0, 150.0, 88.0, 90.0], 20.0, BLACK);
    canvas.block([440.0, 420.0, 320.0, 84.0], 5.0, [0.62, 0.58, 0.48]);
    for way in 0..5 {
        let x = 476.0 + 62.0 * way as f32;
        canvas.cable(
            &[[600.0, 262.0], [x + 8.0, 340.0], [x, 440.0]],
            8.0,
            [0.34, 0.30, 0.26],
        );
        canvas.round([x, 462.0], 17.0, BRASS);
    }
    canvas.stain(SALT_GREEN, 22.0, 21, |x, y| {
        let near = 1.0 - ((x - 600.0) / 230.0).powi(2) - ((y - 460.0) / 110.0).powi(2);
        near.clamp(0.0, 0.98)
    });
    canvas.stain(RUST, 30.0, 23, |x, y| {
        let on_it = (360.0..840.0).contains(&x) && (230.0..670.0).contains(&y);
        if on_it {
            0.25 + ((y - 380.0) / 330.0).clamp(0.0, 0.6)
        } else {
            0.0
        }
    });
    canvas.lay(
        |_, _, _| [0.30, 0.38, 0.36],
        |x, y| {
            if (394.0..806.0).contains(&x) {
                (y - 596.0).clamp(0.0, 1.0) * if y < 636.0 { 0.75 } else { 0.0 }
            } else {
                0.0
            }
        },
    );
    canvas
}

/// The new box: stainless lid beside it, glands underneath, cables with a loop for the drips.
pub fn box_renewed() -> Canvas {
    let mut canvas = pit_wall();
    canvas.cable(
        &[
            [860.0, -20.0],
            [880.0, 300.0],
            [880.0, 700.0],
            [820.0, 800.0],
            [720.0, 820.0],
            [676.0, 760.0],
            [672.0, 640.0],
        ],
        24.0,
        BLACK,
    );
    canvas.cable(
        &[
            [528.0, 640.0],
            [526.0, 780.0],
            [480.0, 860.0],
            [440.0, 930.0],
        ],
        24.0,
        BLACK,
    );
    canvas.block([360.0, 210.0, 480.0, 400.0], 18.0, GREY_BOX);
    canvas.flat([396.0, 246.0, 408.0, 328.0], 8.0, [0.34, 0.35, 0.36]);
    canvas.block([440.0, 350.0, 320.0, 84.0], 5.0, CREAM);
    let cores = [
        [0.42, 0.24, 0.12],
        [0.14, 0.30, 0.58],
        [0.58, 0.64, 0.12],
        [0.42, 0.24, 0.12],
        [0.14, 0.30, 0.58],
    ];
    for (way, core) in cores.into_iter().enumerate() {
        let x = 476.0 + 62.0 * way as f32;
        let entry = if way < 3 { 528.0 } else { 672.0 };
        canvas.cable(&[[entry, 574.0], [x, 500.0], [x, 420.0]], 9.0, core);
        canvas.round([x, 392.0], 15.0, BRASS);
    }
    for x in [528.0, 672.0] {
        canvas.block([x - 42.0, 606.0, 84.0, 30.0], 6.0, BRASS);
        canvas.block([x - 34.0, 634.0, 68.0, 70.0], 18.0, BLACK);
    }
    canvas.block([90.0, 560.0, 230.0, 270.0], 14.0, [0.74, 0.75, 0.75]);
    for (x, y) in [
        (112.0, 582.0),
        (298.0, 582.0),
        (112.0, 808.0),
        (298.0, 808.0),
    ] {
        canvas.round([x, y], 8.0, DARK);
    }
    canvas
}

/// The hall's board with the blank in its gap, taken with the camera upside down.
pub fn blank() -> Canvas {
    let mut canvas = Canvas::new(1200, 800, [0.62, 0.58, 0.50], [0.44, 0.40, 0.34]);
    canvas.stain([0.70, 0.66, 0.57], 160.0, 31, |_, _| 0.5);
    canvas.block([150.0, 130.0, 900.0, 540.0], 20.0, CREAM);
    canvas.block([230.0, 270.0, 740.0, 230.0], 8.0, [0.30, 0.30, 0.31]);
    devices(&mut canvas, [262.0, 300.0], 4, &[0, 1, 2, 3]);
    canvas.block([526.0, 300.0, 60.0, 170.0], 5.0, [0.97, 0.97, 0.95]);
    devices(&mut canvas, [592.0, 300.0], 3, &[0, 1, 2]);
    canvas.block([808.0, 300.0, 130.0, 170.0], 5.0, [0.90, 0.90, 0.87]);
    canvas.block([848.0, 376.0, 48.0, 46.0], 4.0, [0.62, 0.10, 0.08]);
    canvas.flat([262.0, 540.0, 660.0, 60.0], 3.0, [0.97, 0.96, 0.91]);
    for line in 0..9 {
        let x = 276.0 + 72.0 * line as f32;
        canvas.flat([x, 556.0, 46.0, 5.0], 1.0, [0.30, 0.30, 0.36]);
        canvas.flat([x, 572.0, 34.0, 4.0], 1.0, [0.45, 0.45, 0.50]);
    }
    for (x, y) in [
        (186.0, 166.0),
        (1014.0, 166.0),
        (186.0, 634.0),
        (1014.0, 634.0),
    ] {
        canvas.round([x, y], 13.0, STEEL);
    }
    canvas.stain([0.50, 0.46, 0.38], 90.0, 33, |_, y| {
        ((y - 560.0) / 300.0).clamp(0.0, 0.5)
    });
    canvas
}
