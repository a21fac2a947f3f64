//! Words that have no place: heat among the steps, and acts that nobody is to be asked for.

use crate::schema::Knowledge;

/// Heat in any of its names.
const HEAT: [&str; 8] = [
    "heat", "bake", "baking", "oven", "warm", "incubat", "thermal", "°",
];
/// Acts that harm tapes or people.
const HARM: [&str; 23] = [
    "unwind", "unroll", "rub", "wipe", "brush", "blow", "wet", "tear", "stretch", "pull", "press", "play",
    "sniff", "tap", "shake", "touch", "lift", "turn", "flatten", "cut", "phone", "clean", "peel",
];
/// What turns a sentence round.
const NOT: [&str; 7] = ["not", "never", "no", "nothing", "without", "nobody", "old"];

pub(crate) fn faults(k: &Knowledge) -> Vec<String> {
    let mut out = Vec::new();
    heat(k, &mut out);
    harm(k, &mut out);
    out
}

/// Heat is named once, in the caution against it, and never among the steps to take.
fn heat(k: &Knowledge, out: &mut Vec<String>) {
    let of_findings = k
        .findings
        .iter()
        .flat_map(|f| f.next.iter().map(move |n| (format!("finding {}", f.key), n)));
    let of_actions = k
        .actions
        .iter()
        .flat_map(|a| [&a.handling, &a.plan, &a.money].map(|text| (format!("action {}", a.key), text)));
    for (place, text) in of_findings.chain(of_actions) {
        let small = text.to_lowercase();
        for word in HEAT.iter().filter(|w| small.contains(*w)) {
            out.push(format!("{place}: '{word}' has no place among the steps: {text}"));
        }
    }
    if !k.cautions.iter().any(|c| c.key == "no_heat") {
        out.push("cautions: the caution no_heat is gone".to_owned());
    }
}

/// How to look: a sentence that names a harmful act must forbid it.
fn harm(k: &Knowledge, out: &mut Vec<String>) {
    for q in &k.questions {
        for sentence in q.how.split(['.', ':', ';', '?']) {
            let words: Vec<String> = sentence
                .to_lowercase()
                .split(|c: char| !c.is_alphabetic())
                .map(str::to_owned)
                .collect();
            let acts: Vec<&String> = words.iter().filter(|w| HARM.contains(&w.as_str())).collect();
            if !acts.is_empty() && !words.iter().any(|w| NOT.contains(&w.as_str())) {
                out.push(format!(
                    "question {}: how to look must not ask for {acts:?}: {sentence}",
                    q.key
                ));
            }
        }
    }
}
