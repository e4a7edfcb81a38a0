//! Lines on a terminal: wrapped text and columns.

/// Width that lines are wrapped at [characters].
const WIDTH: usize = 96;

/// Which side of its column a cell stands at.
#[derive(Copy, Clone, Debug, PartialEq, Eq)]
pub enum Side {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// Text wrapped at spaces, its first line after `first`, the others after `rest`.
pub fn wrapped(text: &str, first: &str, rest: &str) -> String {
    let mut out = String::new();
    let mut line = first.to_string();
    let mut bare = true;
    for word in text.split_whitespace() {
        if !bare && length(&line) + 1 + length(word) > WIDTH {
            out += line.trim_end();
            out.push('\n');
            line = rest.to_string();
            bare = true;
        }
        if !bare {
            line.push(' ');
        }
        line += word;
        bare = false;
    }
    out += line.trim_end();
    out.push('\n');
    out
}

/// Rows in columns two spaces apart.
pub fn columns(rows: &[Vec<String>], sides: &[Side], margin: &str) -> String {
    let wide: Vec<usize> = (0..sides.len())
        .map(|c| rows.iter().filter_map(|row| row.get(c)).map(|cell| length(cell)).max().unwrap_or(0))
        .collect();
    let mut out = String::new();
    for row in rows {
        let mut line = margin.to_string();
        for (cell, (side, wide)) in row.iter().zip(sides.iter().zip(&wide)) {
            let gap = " ".repeat(wide - length(cell));
            let (before, after) = if *side == Side::Left { ("", gap.as_str()) } else { (gap.as_str(), "") };
            line.extend([before, &plain(cell), after, "  "]);
        }
        out += line.trim_end();
        out.push('\n');
    }
    out
}

/// Text from elsewhere as it may stand in a terminal: letters that would steer it are spaces.
pub fn plain(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

fn length(text: &str) -> usize {
    text.chars().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stands_in_a_file_does_not_steer_the_terminal() {
        let rows = [vec!["red\u{1b}[31m\u{7}".to_string()]];
        assert_eq!(columns(&rows, &[Side::Left], ""), "red [31m\n");
    }

    #[test]
    fn wrapped_lines_keep_their_width_and_lose_no_word() {
        let text = "strainer ".repeat(40);
        let page = wrapped(&text, "- ", "    ");
        assert!(page.lines().all(|line| length(line) <= WIDTH), "{page}");
        assert_eq!(page.matches("strainer").count(), 40);
        assert!(page.lines().skip(1).all(|line| line.starts_with("    s")), "{page}");
    }

    #[test]
    fn a_word_longer_than_the_line_stands_alone() {
        let page = wrapped(&format!("a {} b", "x".repeat(200)), "", "");
        assert_eq!(page.lines().map(length).collect::<Vec<_>>(), [1, 200, 1]);
    }

    #[test]
    fn columns_line_up() {
        let rows = [["a", "9.5"], ["bcd", "10.5"]].map(|row| row.map(String::from).to_vec());
        assert_eq!(columns(&rows, &[Side::Left, Side::Right], " "), " a     9.5\n bcd  10.5\n");
    }
}
