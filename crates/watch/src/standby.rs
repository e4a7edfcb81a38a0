//! A line that stands by, shut, beside the one in which something is wrong: changing over is a cure and a test in one.

use plant::plant::{Flow, FlowId, PartId, Plant, Terminal};

/// How to change over.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ChangeOver {
    /// The part of the other line that does what the suspected one does; the valve, if there is none.
    pub to: PartId,
    /// The valve to open first.
    pub open: PartId,
    /// The valve to shut then, if this line has one.
    pub shut: Option<PartId>,
    /// What is cleared or convicted by it: the parts of this line, along the flow.
    pub line: Vec<PartId>,
}

/// The way out of a line that a part is in, if another one between the same ends stands by behind a shut valve.
pub fn change_over(plant: &Plant, part: PartId) -> Option<ChangeOver> {
    let (line, ends) = line(plant, part)?;
    if line.iter().any(|part| plant.is_shut(*part)) {
        return None;
    }
    let valves = plant.valves().filter(|valve| plant.is_shut(*valve));
    let (open, other) = valves.filter(|valve| !line.contains(valve)).find_map(|valve| {
        let (other, others) = self::line(plant, valve)?;
        (others == ends).then_some((valve, other))
    })?;
    let alike = other.iter().find(|other| plant[**other].kind.name == plant[part].kind.name);
    let shut = line.iter().copied().find(|part| plant.opening(*part).is_some());
    Some(ChangeOver { to: alike.copied().unwrap_or(open), open, shut, line })
}

/// The parts between two places where pipes branch or end, along the flow, and these places; nothing for a part with more
/// than one way through it.
fn line(plant: &Plant, part: PartId) -> Option<(Vec<PartId>, [Terminal; 2])> {
    let only = |part: PartId| match plant[part].flows.iter().flatten().collect::<Vec<_>>()[..] {
        [flow] => Some(*flow),
        _ => None,
    };
    // The one other flow at this end, if it is of a part with no other.
    let next = |flow: FlowId, end: Terminal| {
        let Terminal::Node(_) = end else { return None };
        let meets = |k: &usize| *k != flow.0 && (plant.flows[*k].from == end || plant.flows[*k].to == end);
        let mut others = (0..plant.flows.len()).filter(meets).map(FlowId);
        let other = others.next().filter(|_| others.next().is_none())?;
        only(plant.flows[other.0].part).filter(|its| *its == other)
    };
    let first = only(part)?;
    let mut line = vec![part];
    let mut walk = |end: fn(&Flow) -> Terminal, push: fn(&mut Vec<PartId>, PartId)| {
        let mut flow = first;
        while let Some(further) = next(flow, end(&plant.flows[flow.0])) {
            let part = plant.flows[further.0].part;
            if line.contains(&part) {
                break;
            }
            push(&mut line, part);
            flow = further;
        }
        end(&plant.flows[flow.0])
    };
    let from = walk(|flow| flow.from, |line, part| line.insert(0, part));
    let to = walk(|flow| flow.to, Vec::push);
    Some((line, [from, to]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_wrong_before_the_pump_is_left_by_the_other_side_and_what_is_behind_it_is_not() {
        let marram = plant::reader::read(include_str!("../../../vessels/marram/vessel.toml")).0.expect("it loads");
        let part = |name: &str| marram.part(name).expect("it is there");
        let over = change_over(&marram, part("strainer-port")).expect("starboard stands by");
        assert_eq!(over.to, part("strainer-starboard"));
        assert_eq!((over.open, over.shut), (part("seacock-starboard"), Some(part("seacock-port"))));
        assert_eq!(over.line, ["intake-port", "seacock-port", "strainer-port", "suction-hose"].map(part));
        assert_eq!(change_over(&marram, part("intake-port")).map(|over| over.to), Some(part("intake-starboard")));
        for other in ["raw-pump", "exchanger", "strainer-starboard", "oil-filter", "main"] {
            assert_eq!(change_over(&marram, part(other)), None, "{other}");
        }
    }
}
