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
pub fn read(text: &str) -> Result<Vec<Row>, (usize, String)> {
    let text = text.trim_start_matches('\u{feff}');
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.trim().is_empty());
    let Some((_, head)) = lines.next() else { return Err((1, "there is nothing in this table".into())) };
    let separator = if head.contains(';') { ';' } else { ',' };
    let names = cells(head, separator);
    let column = |name: &str| names.iter().position(|cell| cell.trim().eq_ignore_ascii_case(name));
    let (Some(measure), Some(found), Some(left)) = (column("measure"), column("found"), column("left")) else {
        return Err((1, "the first line must name the columns measure, place, found and left".into()));
    };
    let place = column("place");
    let mut rows = Vec::new();
    for (number, line) in lines {
        let cells = cells(line, separator);
        let cell = |place: usize| cells.get(place).map_or("", |cell| cell.trim());
        if cells.len() > names.len() {
            return Err((number + 1, format!("it has {} cells and the first line {}", cells.len(), names.len())));
        }
        let what = format!("{} {}", cell(measure), place.map_or("", cell)).trim().to_string();
        if what.is_empty() {
            return Err((number + 1, "it names no measure".into()));
        }
        rows.push(Row { what, found: cell(found).into(), left: cell(left).into() });
    }
    Ok(rows)
}

/// A cell that holds a separator, in quotes.
fn quoted(cell: &str) -> String {
    if cell.contains([',', ';', '"']) { format!("\"{}\"", cell.replace('"', "\"\"")) } else { cell.to_string() }
}

fn cells(line: &str, separator: char) -> Vec<String> {
    let (mut cells, mut cell, mut quoted) = (Vec::new(), String::new(), false);
    let mut letters = line.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => {
                cell.push('"');
                letters.next();
            }
            '"' => quoted = !quoted,
            letter if letter == separator && !quoted => cells.push(std::mem::take(&mut cell)),
            letter => cell.push(letter),
        }
    }
    cells.push(cell);
    cells
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
