//! What every plant of this sort has, and few owners write down.
//!
//! Puts missing parts where their kinds usually stand (`completion::usual`) and tells the owner so.

use crate::finding::{Finding, Problem};
use crate::names;
use crate::reader::draft::{Draft, DraftPart, Step};
use crate::reader::paths::passage_of;
use parts::catalogue;
use parts::kind::{Circuit, End, Kind, Passage, Role, Station};
use usual::{Layout, Side, layouts, sides, stands_for, station};

mod usual;

/// Adds what is missing and says so.
pub(crate) fn complete(draft: &mut Draft) {
    let first_assumed = draft.parts.len();
    let engine_told = !draft.engines.is_empty();
    if !engine_told {
        draft.findings.push(Finding::whole(Problem::NoEngine));
        if let Some(kind) = catalogue::find("diesel") {
            let name = add(draft, kind);
            draft.engines.push(name);
        }
    }
    let (layouts, sides) = (layouts(), sides());
    for engine in 0..draft.engines.len() {
        draft.serving = engine;
        complete_one(draft, &layouts, &sides);
    }
    draft.serving = 0;
    let assumed = (first_assumed..draft.parts.len()).map(|part| told_how(draft, part)).collect::<Vec<_>>();
    if engine_told && !assumed.is_empty() {
        draft.findings.push(Finding::whole(Problem::Assumed { parts: assumed }));
    }
}

/// What the engine that is being served has.
fn complete_one(draft: &mut Draft, layouts: &[Layout], sides: &[Side]) {
    let raw_cooled = draft.steps(Circuit::RawWater).any(|step| names::is_engine(draft.parts[step.part].kind));
    let wanted = wanted(draft, raw_cooled);
    for layout in layouts {
        for (kind, circuit) in &wanted {
            if *circuit == layout.circuit && !has_way(draft, layout.circuit, kind) {
                place_kind(draft, layout, kind);
            }
        }
    }
    for layout in layouts.iter().filter(|layout| !(raw_cooled && layout.circuit == Circuit::FreshWater)) {
        if !exists(draft, layout) {
            continue;
        }
        let usual = (!draft.circuit(layout.circuit).described).then_some(Role::Usual);
        for kind in layout.of(Role::Needed).chain(usual.into_iter().flat_map(|role| layout.of(role))) {
            if has_way(draft, layout.circuit, kind) {
                continue;
            }
            if let Some((part, passage)) = shared(draft, layout.circuit, kind) {
                insert(draft, layout, part, passage);
            } else {
                place_kind(draft, layout, waiting_instead(draft, layout.circuit, kind).unwrap_or(kind));
            }
        }
    }
    place_untold_ways(draft, layouts);
    for layout in layouts {
        open_ends(draft, layout);
    }
    place_untold_ways(draft, layouts);
    for side in sides {
        side_way(draft, side);
    }
    drives(draft);
}

/// What another engine's alternator charges or feeds already: several engines share a bank, if nothing else is told.
fn shared(draft: &Draft, circuit: Circuit, kind: &'static Kind) -> Option<(usize, usize)> {
    let others = draft.circuits.iter().filter(|((_, of), _)| circuit.is_electric() && *of == circuit);
    let mut steps = others.flat_map(|(_, paths)| paths.steps());
    steps.find(|step| std::ptr::eq(draft.parts[step.part].kind, kind)).map(|step| (step.part, step.passage))
}

/// An assumed part's name, and where it hangs if that might be otherwise.
fn told_how(draft: &Draft, part: usize) -> String {
    let DraftPart { name, kind, .. } = &draft.parts[part];
    let either = |way: &Passage| way.carries == [Circuit::RawWater, Circuit::FreshWater];
    let mut coolant = draft.circuits.iter().filter(|((_, circuit), _)| *circuit == Circuit::FreshWater);
    let inner = coolant.any(|(_, c)| c.steps().any(|step| step.part == part && either(&kind.passages[step.passage])));
    if inner { format!("`{name}` (cooled by coolant)") } else { format!("`{name}`") }
}

/// The cooler and the elbow, which are there or not by what else is there, and the circuit that each is put into; its other
/// way is found by `place_untold_ways`.
fn wanted(draft: &Draft, raw_cooled: bool) -> Vec<(&'static Kind, Circuit)> {
    let has = |is: &dyn Fn(&'static Kind) -> bool| {
        draft.parts.iter().enumerate().any(|(part, it)| is(it.kind) && draft.serves_here(part))
    };
    let told = |circuit| draft.told_circuit(circuit).is_some_and(|c| c.described);
    let cools = |kind: &'static Kind| station(kind, Circuit::FreshWater) == Some(Station::Cooler);
    let by_raw = has(&|kind| cools(kind) && station(kind, Circuit::RawWater).is_some());
    let cooler = (!raw_cooled && !has(&cools)).then(|| catalogue::find("exchanger")).flatten();
    let raw = cooler.is_some() || raw_cooled || by_raw || told(Circuit::RawWater);
    let leads_off = |kind: &Kind| matches!(kind.name, "elbow" | "dry-stack");
    let wet = !has(&leads_off) && raw && !told(Circuit::Exhaust);
    let elbow = wet.then(|| catalogue::find("elbow")).flatten();
    let cooler = cooler.map(|kind| (kind, Circuit::FreshWater));
    cooler.into_iter().chain(elbow.map(|kind| (kind, Circuit::Exhaust))).collect()
}

/// Is there anything of this circuit, or must there be?
fn exists(draft: &Draft, layout: &Layout) -> bool {
    let described = draft.told_circuit(layout.circuit).is_some_and(|c| c.described || !c.trunk.is_empty());
    let needed = layout.of(Role::Needed).any(names::is_engine);
    let here = |(part, it): (usize, &DraftPart)| only_for(it.kind, layout.circuit) && draft.serves_here(part);
    described || needed || draft.parts.iter().enumerate().any(here)
}

/// Has the kind a way that carries this circuit and no other? One that leads from the open into the open, as what drips past a
/// gland, makes no circuit.
fn only_for(kind: &Kind, circuit: Circuit) -> bool {
    let joins =
        |passage: &Passage| [passage.from, passage.to].iter().any(|end| matches!(end, End::Port(_) | End::Into(_)));
    kind.passages.iter().any(|passage| passage.carries == [circuit] && joins(passage))
}

/// Does the circuit lead through a part of this kind, or its main path through what stands in for it?
fn has_way(draft: &Draft, circuit: Circuit, kind: &'static Kind) -> bool {
    let main = draft.told_circuit(circuit).map_or(&[][..], |paths| &paths.trunk);
    draft.steps(circuit).any(|step| std::ptr::eq(draft.parts[step.part].kind, kind))
        || main.iter().any(|step| stands_for(draft.parts[step.part].kind, kind, circuit))
}

/// What may stand in for a kind in this circuit, told, and led through by no path yet.
fn waiting_instead(draft: &Draft, circuit: Circuit, kind: &'static Kind) -> Option<&'static Kind> {
    let others = draft.parts.iter().enumerate();
    let mut told = others.filter(|(_, part)| !std::ptr::eq(part.kind, kind) && stands_for(part.kind, kind, circuit));
    let waits = told.find(|(index, part)| {
        draft.serves_here(*index)
            && passage_of(part.kind, circuit, None, part.kind.name).is_ok_and(|way| !draft.is_placed(*index, way))
    });
    waits.map(|(_, part)| part.kind)
}

/// Adds an assumed part and gives its name.
fn add(draft: &mut Draft, kind: &'static Kind) -> String {
    let name = match draft.engines.get(draft.serving) {
        _ if names::is_engine(kind) => draft.free_name("main"),
        // Each of several engines has its own: told by the engine's name.
        Some(engine) if draft.engines.len() > 1 => draft.free_name(&format!("{}-{engine}", kind.name)),
        _ => draft.free_name(kind.name),
    };
    let part = DraftPart {
        name: name.clone(),
        kind,
        told: Vec::new(),
        place: 0..0,
        assumed: true,
        declared: false,
        serves: Some(draft.serving),
    };
    draft.parts.push(part);
    name
}

/// Puts a part of this kind into the main path: one that waits for a place, else an assumed one.
fn place_kind(draft: &mut Draft, layout: &Layout, kind: &'static Kind) {
    let Ok(passage) = passage_of(kind, layout.circuit, None, kind.name) else { return };
    let part = waiting_or_new(draft, kind, passage);
    insert(draft, layout, part, passage);
}

/// Puts a part into the main path after the nearest station that usually comes before it.
fn insert(draft: &mut Draft, layout: &Layout, part: usize, passage: usize) {
    let step = Step { part, passage, place: draft.parts[part].place.clone() };
    let Some(own) = station(draft.parts[part].kind, layout.circuit) else { return };
    let trunk = draft.circuit(layout.circuit).trunk.iter().map(|s| s.part).collect::<Vec<_>>();
    let at = |index: &usize| station(draft.parts[*index].kind, layout.circuit);
    let before = trunk.iter().filter_map(at).filter(|station| *station <= own).max();
    // In a ring the last station comes before the first.
    let around = || trunk.iter().filter_map(at).filter(|_| layout.circuit.is_closed()).max();
    let found = before.or_else(around).and_then(|station| trunk.iter().rposition(|index| at(index) == Some(station)));
    draft.circuit(layout.circuit).trunk.insert(found.map_or(0, |at| at + 1), step);
    draft.placed_here(part);
}

/// Ways that no path tells, of parts that another path names or whose circuit the owner left to us.
///
/// An assumed cooler that raw water or coolant could cool is taken to hang in the coolant, which is how engines of this
/// size are built (common practice, no source); one that is told has its place in the raw water.
fn place_untold_ways(draft: &mut Draft, layouts: &[Layout]) {
    for part in 0..draft.parts.len() {
        let kind = draft.parts[part].kind;
        for (passage, way) in kind.passages.iter().enumerate() {
            if way.is_pool() || draft.is_placed(part, passage) || !draft.serves_here(part) {
                continue;
            }
            let fits = |layout: &&Layout| {
                way.carries.contains(&layout.circuit)
                    && layout.has(kind)
                    && exists(draft, layout)
                    && passage_of(kind, layout.circuit, None, kind.name) == Ok(passage)
            };
            let inner = |layout: &&Layout| {
                let there = draft.told_circuit(layout.circuit).is_some_and(|c| !c.trunk.is_empty());
                draft.parts[part].assumed && layout.circuit.is_closed() && there && fits(layout)
            };
            let Some(layout) = layouts.iter().find(inner).or_else(|| layouts.iter().find(fits)) else { continue };
            let described = draft.told_circuit(layout.circuit).is_some_and(|c| c.described);
            if draft.is_placed_at_all(part) || !described || !has_way(draft, layout.circuit, kind) {
                insert(draft, layout, part, passage);
            }
        }
    }
}

/// Gives every open beginning of a path its intake, and an open end its outlet.
fn open_ends(draft: &mut Draft, layout: &Layout) {
    if layout.circuit.is_closed() || draft.circuit(layout.circuit).trunk.is_empty() {
        return;
    }
    let end_of = |draft: &Draft, step: &Step, begin: bool| {
        let passage = &draft.parts[step.part].kind.passages[step.passage];
        if begin { passage.from } else { passage.to }
    };
    let last = draft.circuit(layout.circuit).trunk.last().cloned();
    if let Some(last) = last
        && matches!(end_of(draft, &last, false), End::Port(_))
        && let Some(kind) = layout.of(Role::Ends).find(|kind| end_fits(draft, kind))
        && let Ok(passage) = passage_of(kind, layout.circuit, None, kind.name)
    {
        let part = waiting_or_new(draft, kind, passage);
        let place = draft.parts[part].place.clone();
        draft.circuit(layout.circuit).trunk.push(Step { part, passage, place });
    }
    for index in 0..=draft.circuit(layout.circuit).branches.len() {
        let paths = draft.circuit(layout.circuit);
        let path = if index == 0 { &paths.trunk } else { &paths.branches[index - 1] };
        let Some(first) = path.first().cloned() else { continue };
        let all = || std::iter::once(&paths.trunk).chain(&paths.branches);
        let fed = all().any(|path| path.iter().skip(1).any(|step| step.same(&first)));
        if fed || !matches!(end_of(draft, &first, true), End::Port(_)) {
            continue;
        }
        let Some(begins) = layout.of(Role::Begins).next() else { return };
        let kind = waiting_instead(draft, layout.circuit, begins).unwrap_or(begins);
        let Ok(passage) = passage_of(kind, layout.circuit, None, kind.name) else { return };
        let part = waiting_or_new(draft, kind, passage);
        let step = Step { part, passage, place: draft.parts[part].place.clone() };
        let paths = draft.circuit(layout.circuit);
        if index == 0 { paths.trunk.insert(0, step) } else { paths.branches[index - 1].insert(0, step) }
    }
}

/// Raw water ends in an elbow only if the exhaust can have one.
fn end_fits(draft: &Draft, kind: &'static Kind) -> bool {
    let stack = |(part, it): (usize, &DraftPart)| it.kind.name == "dry-stack" && draft.serves_here(part);
    let dry =
        draft.parts.iter().enumerate().any(stack) || draft.told_circuit(Circuit::Exhaust).is_some_and(|c| c.described);
    kind.name != "elbow" || !dry || has_way(draft, Circuit::Exhaust, kind)
}

/// A part of this kind that no path leads through yet, else an assumed one.
fn waiting_or_new(draft: &mut Draft, kind: &'static Kind, passage: usize) -> usize {
    let waits = |(index, part): &(usize, &DraftPart)| {
        part.kind.name == kind.name && !draft.is_placed(*index, passage) && draft.serves_here(*index)
    };
    let found = draft.parts.iter().enumerate().find(waits).map(|(index, _)| index);
    let part = found.unwrap_or_else(|| {
        add(draft, kind);
        draft.parts.len() - 1
    });
    draft.placed_here(part);
    part
}

/// Adds a side way, and takes one out of the main path that the owner wrote there.
fn side_way(draft: &mut Draft, side: &Side) {
    let kind = side.kind;
    let Some(passage) = kind.passages.iter().position(|p| p.name == side.passage) else { return };
    let find = |draft: &Draft, wanted: Option<Station>| {
        let is = |step: &&Step| station(draft.parts[step.part].kind, side.circuit) == wanted;
        if wanted.is_some() { draft.steps(side.circuit).find(is).cloned() } else { None }
    };
    let back = find(draft, side.before);
    if back.is_none() && side.before.is_some() {
        return;
    }
    let mut after = find(draft, side.after);
    let mine = |k: &usize| std::ptr::eq(draft.parts[*k].kind, kind) && draft.serves_here(*k);
    let parts: Vec<usize> = (0..draft.parts.len()).filter(mine).collect();
    if side.after.is_some() {
        let trunk = &mut draft.circuit(side.circuit).trunk;
        let inside = |at: &usize| parts.contains(&trunk[*at].part);
        if let Some(at) = (1..trunk.len().saturating_sub(1)).find(inside) {
            trunk.remove(at);
            after = trunk.get(at - 1).cloned();
        }
    }
    let parts = if parts.is_empty() && side.usual {
        add(draft, kind);
        vec![draft.parts.len() - 1]
    } else {
        parts
    };
    for part in parts {
        if draft.is_placed(part, passage) {
            continue;
        }
        let step = Step { part, passage, place: draft.parts[part].place.clone() };
        let branch = after.iter().cloned().chain([step]).chain(back.clone()).collect();
        draft.circuit(side.circuit).branches.push(branch);
        draft.placed_here(part);
    }
}

/// An engine that does not say that it drives something else drives a propeller.
fn drives(draft: &mut Draft) {
    let engine = draft.engine_index().map(|index| &draft.parts[index]);
    let other = engine.is_some_and(|engine| {
        engine.told.iter().any(|entry| {
            entry.key == "drives" && entry.value.as_str().is_some_and(|word| names::folded(word) != "propeller")
        })
    });
    if !other
        && !draft.parts.iter().enumerate().any(|(part, it)| drives_her(it.kind) && draft.serves_here(part))
        && let Some(kind) = catalogue::find("propeller")
    {
        add(draft, kind);
    }
}

/// Is it what takes the engine's power and moves the vessel?
fn drives_her(kind: &Kind) -> bool {
    kind.unknowns.iter().any(|unknown| unknown.name == "boat_speed")
}
