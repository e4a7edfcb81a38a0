//! The table of measures of a task: printed empty, filled in by hand or in a spreadsheet, read back.

use crate::task::Task;

/// A row that was filled in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// The measure and where: "clearance cylinder 1 inlet".
    pub what: String,
    /// As found; empty if not told.
    pub found: String,
    /// As left.
    pub left: String,
}

/// The first line.
const HEAD: [&str; 5] = ["measure", "place", "unit", "found", "left"];

/// The table with nothing in it (CSV).
pub fn blank(task: &Task) -> String {
    let mut text = HEAD.join(",") + "\n";
    for measure in &task.measures {
        let one = [String::new()];
        let places = if measure.at.is_empty() { &one[..] } else { &measure.at };
        text.extend(
            places
                .iter()
                .map(|place| format!("{},{},{},,\n", quoted(&measure.name), quoted(place), quoted(&measure.unit))),
        );
    }
    text
}

/// Reads the table back; commas or semicolons part its columns, as the first line has them.
///
/// # Errors
/// The line [from 1], and what is wrong with it.
pub fn read(text: &str) -> Result<Vec<Row>, (u64, String)> {
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let separator = if first.contains(';') { b';' } else { b',' };
    let mut reader = csv::ReaderBuilder::new().delimiter(separator).trim(csv::Trim::All).from_reader(text.as_bytes());
    let names = reader.headers().cloned().map_err(|why| (1, why.to_string()))?;
    let column = |name: &str| names.iter().position(|cell| cell.eq_ignore_ascii_case(name));
    let (Some(measure), Some(found), Some(left)) = (column("measure"), column("found"), column("left")) else {
        return Err((1, "the first line must name the columns measure, place, found and left".into()));
    };
    let place = column("place");
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = record.map_err(|why| {
            (
                why.position().map_or(1, csv::Position::line),
                "it has more or fewer cells than the first line".to_string(),
            )
        })?;
        let line = record.position().map_or(1, csv::Position::line);
        let cell = |place: usize| record.get(place).unwrap_or_default();
        let what = format!("{} {}", cell(measure), place.map_or("", cell)).trim().to_string();
        if what.is_empty() {
            return Err((line, "it names no measure".into()));
        }
        rows.push(Row { what, found: cell(found).into(), left: cell(left).into() });
    }
    Ok(rows)
}

/// A cell that holds a separator, in quotes.
fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '"']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_string() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_table_is_read_with_commas_or_semicolons_and_quotes_and_faults_name_their_line() {
        let rows = read("Measure;Place;Found;Left\nclearance;cylinder 1 inlet;0,35 mm;0,30\n\n\"a;b\";;1;\n")
            .expect("a table");
        assert_eq!(
            rows[0],
            Row { what: "clearance cylinder 1 inlet".into(), found: "0,35 mm".into(), left: "0,30".into() }
        );
        assert_eq!((rows[1].what.as_str(), rows[1].left.as_str()), ("a;b", ""));
        assert_eq!(read("measure,found,left\n\"say \"\"so\"\"\",1,2\n").expect("a table")[0].what, "say \"so\"");
        assert_eq!(read("measure,found,left\na,1,2,3\n").expect_err("too many").0, 2);
        assert!(read("x,y\n").is_err() && read("").is_err() && read("measure,found,left\n,1,2\n").is_err());
    }
}
