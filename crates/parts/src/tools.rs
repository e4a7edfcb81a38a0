//! Tools that a check may want and a vessel may lack, and what is at hand on any.

/// A tool that not everybody has aboard.
#[derive(Debug)]
pub struct Tool {
    /// The word in a vessel file and on a page.
    pub name: &'static str,
    /// Other words for it in the lines of checks and in vessel files.
    pub also: &'static [&'static str],
}

const fn tool(name: &'static str, also: &'static [&'static str]) -> Tool {
    Tool { name, also }
}

/// Tools that not everybody has aboard. Common practice, no source.
pub const TOOLS: &[Tool] = &[
    tool("infrared thermometer", &["infrared gun"]),
    tool("thermometer", &["second thermometer", "exhaust thermometer"]),
    tool("multimeter", &["voltmeter", "hand meter", "meter", "test lamp"]),
    tool("clamp meter", &[]),
    tool("insulation tester", &[]),
    tool("load tester", &[]),
    tool("hydrometer", &[]),
    tool("mirror", &[]),
    tool("stethoscope", &[]),
    tool(
        "vacuum gauge",
        &["vacuum gauge with drag needle", "vacuum and pressure gauge at taps", "gauge at the tap", "gauge"],
    ),
    tool("pressure gauge", &["pressure gauge at taps", "mechanical gauge", "second gauge", "gauge to 1.6 bar"]),
    tool("water column", &["U-tube"]),
    tool("hand pump", &["pump", "test pump", "dinghy pump", "air hose"]),
    tool("pressure tester", &[]),
    tool("compression tester", &[]),
    tool("optical speed meter", &["optical tachometer"]),
    tool("feelers", &["feeler gauge"]),
    tool("dial gauge", &[]),
    tool("caliper", &[]),
    tool("puller", &[]),
    tool("filter wrench", &[]),
    tool("filter cutter", &[]),
    tool("packing hook", &[]),
    tool("clear fuel hose", &[]),
    tool("diving mask", &["mask"]),
    tool("gas tester", &[]),
    tool("lifting gear", &["tackle"]),
    tool("spill pipe", &[]),
];

/// What is at hand on any vessel, or part of her, or a part that the job wants anyway.
pub const AT_HAND: &[&str] = &[
    "torch",
    "light",
    "rag",
    "cloth",
    "glove",
    "gloves",
    "goggles",
    "glasses",
    "bucket",
    "watch",
    "helper",
    "helper at the helm",
    "helper at the stop control",
    "paper",
    "paper towel",
    "blotting paper",
    "strip of paper",
    "card",
    "tape",
    "two taped spots",
    "reflective tape",
    "reflecting tape",
    "jar",
    "clear jar",
    "cup",
    "can",
    "jug",
    "funnel",
    "sample bottle",
    "clean bottle",
    "hose",
    "spare hose",
    "thin hose",
    "two tails",
    "clamps",
    "screwdriver",
    "screwdrivers",
    "long screwdriver",
    "spanner",
    "spanners",
    "pipe spanner",
    "spanner with a taped handle",
    "knife",
    "scraper",
    "rule",
    "rule for the pack's length",
    "straight edge",
    "chalk",
    "brush",
    "wire brush",
    "soap",
    "contact cleaner",
    "waterproof grease",
    "grinding paste",
    "dipstick",
    "dip stick",
    "spoon",
    "lighter",
    "heat",
    "pan",
    "tray",
    "drip tray",
    "wire",
    "fine wire",
    "jumper wire",
    "bung",
    "bungs",
    "plugs",
    "lever",
    "bar",
    "rod",
    "crank",
    "adapter",
    "banjo bolt",
    "tap",
    "taps",
    "the drawing",
    "the sender's table",
    "table for speed and pitch",
    "degree mark",
    "dinghy",
    "fresh water",
    "log",
    "position receiver",
    "gasket",
    "gaskets",
    "seal",
    "new washer",
    "new washers",
    "element",
    "blank",
    "spare impeller",
    "fuse of the same rating",
];

/// The tool of that name.
pub fn find(name: &str) -> Option<&'static Tool> {
    let same = |other: &str| other.eq_ignore_ascii_case(name.trim());
    TOOLS.iter().find(|tool| same(tool.name) || tool.also.iter().any(|other| same(other)))
}

/// The things in a check's line of tools: all are wanted, each in one of several ways. "mirror, test lamp or meter".
pub fn wanted(line: &str) -> impl Iterator<Item = impl Iterator<Item = &str>> {
    line.split(", ").map(|thing| thing.split(" or ").map(str::trim))
}

/// Is it at hand on any vessel?
pub fn at_hand(thing: &str) -> bool {
    AT_HAND.contains(&thing)
}

/// What of a check's line of tools is not aboard, by the name of the tool; `aboard` has names of tools, or of what only the
/// owner's own checks want.
pub fn missing<'a>(line: &'a str, aboard: &[String]) -> Vec<&'a str> {
    let name = |thing: &'a str| find(thing).map_or(thing, |tool| tool.name);
    let there = |thing: &'a str| at_hand(thing) || aboard.iter().any(|it| it.eq_ignore_ascii_case(name(thing)));
    let mut list: Vec<&str> = Vec::new();
    for mut ways in wanted(line).map(Iterator::collect::<Vec<&str>>) {
        if !ways.iter().any(|thing| there(thing)) {
            list.push(name(ways.remove(0)));
        }
    }
    list.dedup();
    list
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_of_several_ways_is_enough_and_all_things_are_wanted() {
        let aboard = ["multimeter".to_string()];
        assert!(missing("voltmeter", &aboard).is_empty());
        assert!(missing("load tester or voltmeter", &aboard).is_empty());
        assert_eq!(missing("torch, mirror", &aboard), ["mirror"]);
        assert_eq!(missing("multimeter, clamp meter", &aboard), ["clamp meter"]);
        assert!(missing("rod or stethoscope", &[]).is_empty());
        assert_eq!(missing("second gauge or thermometer", &[]), ["pressure gauge"]);
    }
}
