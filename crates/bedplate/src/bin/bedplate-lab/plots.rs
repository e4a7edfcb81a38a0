//! The charts of docs/accuracy.md, drawn from what the commands printed, which is kept beside them.

use crate::chart::{Chart, Series};
use std::path::Path;

/// Where the printed results are kept, and the charts.
const FOLDER: &str = "docs/accuracy";

/// Draws every chart whose results are there.
///
/// # Errors
/// A result that cannot be read, or holds no figures.
pub fn draw() -> Result<(), String> {
    let worlds = [
        ("calibration-as-believed.txt", "world as believed"),
        ("calibration-rates.txt", "rates × 3 or ÷ 3"),
        ("calibration-spreads.txt", "spreads × 1.5"),
        ("calibration-model.txt", "model twice as wrong"),
    ];
    let mut series = Vec::new();
    for (k, (file, name)) in worlds.iter().enumerate() {
        let Ok(text) = read(file) else { continue };
        // A little apart, or intervals hide each other.
        let shift = 0.006 * k as f64;
        let points = bins(&text, "every answer above 2 %");
        let points = points.into_iter().map(|(told, so, low, high)| (told + shift, so, low, high)).collect();
        series.push(Series { name: (*name).into(), points, joined: false });
    }
    let percent = |share: f64| (share, format!("{:.0} %", 100.0 * share));
    let marks: Vec<(f64, String)> = [0.0, 0.2, 0.4, 0.6, 0.8, 1.0].map(percent).into();
    let reliability = Chart {
        title: "How often what was told with this chance was so".into(),
        across: "chance told".into(),
        up: "was so".into(),
        marks_across: marks.clone(),
        marks_up: marks.clone(),
        from: (0.0, 0.0),
        to: (1.0, 1.0),
        diagonal: true,
        series,
    };
    write("reliability.svg", &reliability)?;
    gauges(&marks)
}

/// Share of faults whose cause came first, and among the first three, by number of gauges.
fn gauges(marks: &[(f64, String)]) -> Result<(), String> {
    let Ok(text) = read("settings.txt") else { return Ok(()) };
    let mut series = vec![
        Series { name: "first".into(), points: Vec::new(), joined: true },
        Series { name: "in first three".into(), points: Vec::new(), joined: true },
    ];
    for gauges in [6.0, 10.0, 14.0, 18.0] {
        let head = format!("read while well, {gauges} gauges, three speeds");
        let Some(rest) = text.split(&head).nth(1) else { continue };
        let Some(line) = rest.lines().find(|line| line.contains("all, a lying gauge as one cause")) else { continue };
        for (series, (share, low, high)) in series.iter_mut().zip(shares(line)) {
            series.points.push((gauges, share, low, high));
        }
    }
    let chart = Chart {
        title: "True cause first and among the first three, by number of gauges".into(),
        across: "gauges read".into(),
        up: "of faults worse than 0.4".into(),
        marks_across: [6.0, 10.0, 14.0, 18.0].map(|g| (g, format!("{g}"))).into(),
        marks_up: marks.to_vec(),
        from: (4.0, 0.0),
        to: (20.0, 1.0),
        diagonal: false,
        series,
    };
    write("gauges.svg", &chart)
}

/// (told, so, low, high) of the bins under this heading.
fn bins(text: &str, heading: &str) -> Vec<(f64, f64, f64, f64)> {
    let lines = text.lines().skip_while(|line| !line.starts_with(heading)).skip(1);
    let rows = lines.take_while(|line| line.starts_with("  ")).map(numbers);
    rows.filter_map(|row| if let [_, told, so, low, high] = row[..] { Some((told, so, low, high)) } else { None })
        .collect()
}

/// (share, low, high) of every "71.0 % (60.1 to 80.2)" in a line.
fn shares(line: &str) -> Vec<(f64, f64, f64)> {
    let after = line.split_once(':').map_or("", |(_, rest)| rest);
    numbers(after).chunks_exact(3).map(|n| (n[0] / 100.0, n[1] / 100.0, n[2] / 100.0)).collect()
}

/// Every number in a line.
fn numbers(line: &str) -> Vec<f64> {
    let parts = line.split(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != ',');
    parts.filter_map(|part| part.replace(',', "").parse().ok()).collect()
}

fn read(file: &str) -> Result<String, String> {
    let path = Path::new(FOLDER).join(file);
    std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))
}

fn write(file: &str, chart: &Chart) -> Result<(), String> {
    let path = Path::new(FOLDER).join(file);
    std::fs::write(&path, chart.svg()).map_err(|e| format!("{}: {e}", path.display()))
}
