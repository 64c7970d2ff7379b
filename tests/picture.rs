//! The picture in the README is the real output, drawn from its colours.

use std::fmt::Write as _;
use std::process::Command;

const COLUMNS: usize = 92;
const LINES: usize = 46;

/// `tests/golden/first-draft.svg` is what `rigproof inspect specs/first-draft.yaml` prints first.
/// `RIGPROOF_WRITE_PICTURE=1` draws it anew.
#[test]
fn the_picture_in_the_readme_is_the_real_output() {
    let output = Command::new(env!("CARGO_BIN_EXE_rigproof"))
        .args([
            "inspect",
            "specs/first-draft.yaml",
            "--color",
            "always",
            "--width",
            &COLUMNS.to_string(),
            "--today",
            "2026-11-25",
        ])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let drawn = draw(&String::from_utf8(output.stdout).unwrap());
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/golden/first-draft.svg");
    if std::env::var_os("RIGPROOF_WRITE_PICTURE").is_some() {
        std::fs::write(path, &drawn).unwrap();
    }
    let held = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        held == drawn,
        "the picture is not what is printed; run RIGPROOF_WRITE_PICTURE=1 cargo test --test picture"
    );
}

/// Colours of a run of text.
#[derive(Clone, PartialEq, Default)]
struct Paint {
    ink: Option<String>,
    ground: Option<String>,
    bold: bool,
    dim: bool,
}

/// The xterm colours: the sixteen by name, the cube and the greys by formula.
fn xterm(number: u32) -> String {
    const NAMED: [&str; 16] = [
        "#000000", "#c0392b", "#2e8b57", "#b8860b", "#2456a4", "#8e44ad", "#1f8a8a", "#d0d0d0", "#707070", "#e74c3c",
        "#58d68d", "#f4d03f", "#5dade2", "#bb8fce", "#76d7c4", "#ffffff",
    ];
    match number {
        0..=15 => NAMED[number as usize].to_owned(),
        16..=231 => {
            let level = |value: u32| if value == 0 { 0 } else { 55 + 40 * value };
            let cube = number - 16;
            format!("#{:02x}{:02x}{:02x}", level(cube / 36), level(cube / 6 % 6), level(cube % 6))
        }
        _ => {
            let grey = 8 + 10 * (number - 232);
            format!("#{grey:02x}{grey:02x}{grey:02x}")
        }
    }
}

fn apply(paint: &mut Paint, codes: &str) {
    let mut codes = codes.split(';').map(|code| code.parse::<u32>().unwrap_or(0));
    while let Some(code) = codes.next() {
        match code {
            0 => *paint = Paint::default(),
            1 => paint.bold = true,
            2 => paint.dim = true,
            22 => (paint.bold, paint.dim) = (false, false),
            30..=37 => paint.ink = Some(xterm(code - 30)),
            90..=97 => paint.ink = Some(xterm(code - 82)),
            39 => paint.ink = None,
            40..=47 => paint.ground = Some(xterm(code - 40)),
            100..=107 => paint.ground = Some(xterm(code - 92)),
            49 => paint.ground = None,
            38 | 48 => {
                let colour = match codes.next() {
                    Some(5) => codes.next().map(xterm),
                    Some(2) => {
                        let [r, g, b] = [codes.next(), codes.next(), codes.next()].map(Option::unwrap_or_default);
                        Some(format!("#{r:02x}{g:02x}{b:02x}"))
                    }
                    _ => None,
                };
                if code == 38 { paint.ink = colour } else { paint.ground = colour }
            }
            _ => {}
        }
    }
}

/// The text of a terminal as SVG: a run of one colour at a time, on a grid.
fn draw(text: &str) -> String {
    const WIDE: f64 = 7.8;
    const HIGH: f64 = 17.0;
    let lines: Vec<&str> = text.lines().take(LINES).collect();
    let (width, height) = (COLUMNS as f64 * WIDE + 24.0, lines.len() as f64 * HIGH + 24.0);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" font-size=\"13\">\n<title>Punch list of a first draft, as printed</title>\n<rect width=\"100%\" height=\"100%\" rx=\"6\" fill=\"#1d2126\"/>\n"
    );
    let mut paint = Paint::default();
    for (row, line) in lines.iter().enumerate() {
        let mut column = 0usize;
        for (at, piece) in line.split('\u{1b}').enumerate() {
            let run = match piece.split_once('m').filter(|_| at > 0 && piece.starts_with('[')) {
                Some((codes, run)) => {
                    apply(&mut paint, codes.trim_start_matches('['));
                    run
                }
                None => piece,
            };
            if run.is_empty() {
                continue;
            }
            let (x, y) = (12.0 + column as f64 * WIDE, 12.0 + row as f64 * HIGH);
            let columns = run.chars().count();
            if let Some(ground) = &paint.ground {
                let _ = writeln!(
                    svg,
                    "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{:.1}\" height=\"{HIGH}\" fill=\"{ground}\"/>",
                    columns as f64 * WIDE
                );
            }
            let ink = paint.ink.clone().unwrap_or_else(|| "#e6e6e6".to_owned());
            let weight = if paint.bold { " font-weight=\"bold\"" } else { "" };
            let opacity = if paint.dim { " opacity=\"0.7\"" } else { "" };
            let safe = run.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
            if !run.trim().is_empty() {
                let _ = writeln!(
                    svg,
                    "<text x=\"{x:.1}\" y=\"{:.1}\" fill=\"{ink}\"{weight}{opacity} xml:space=\"preserve\" textLength=\"{:.1}\">{safe}</text>",
                    y + 13.0,
                    columns as f64 * WIDE
                );
            }
            column += columns;
        }
    }
    svg += "</svg>\n";
    svg
}
