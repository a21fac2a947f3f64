//! Why there is none of a simulated quantity in any draw: words in the place of a nought that would look known.

use costing::{Driver, Kind, catalogue};

use super::facts::Facts;

/// Why nothing of a quantity was simulated, for a cell of a table.
pub(super) fn why(facts: &Facts<'_>, id: &str) -> &'static str {
    if id == "cost.fixed" {
        return "not costed: no price was given that comes once or by the box";
    }
    if let Some(key) = id.strip_prefix("cost.") {
        return driver(facts, key).map_or("not costed: no price that was given is for what was met", line);
    }
    match id {
        "staff.repair" => "not counted: no item was met that this is done with",
        "staff.clean" => "not counted: no item was met that is cleaned",
        _ if id.starts_with("staff") => "not counted: no time was given for it",
        _ => "not known: of no item that was met could its playing time be told",
    }
}

/// Why a price comes to nothing.
fn line((driver, is_nought): (Driver, bool)) -> &'static str {
    if is_nought {
        return "nothing, for the price that was given is nought";
    }
    match driver {
        Driver::Items | Driver::ItemsToClean | Driver::ItemsToRepair | Driver::ItemsForSpecialist => {
            "not costed: no item that it is for was met"
        }
        Driver::ContentHours | Driver::MachineHours | Driver::GigabyteYears => {
            "not costed: the playing time of what was met is not known"
        }
        Driver::StaffHours => "not costed: no hour of staff was counted",
        Driver::PercentOfLabour => "not costed: no price was given for the labour that it is a part of",
        Driver::PercentOfAll => "not costed: nothing before it was costed",
        Driver::Boxes | Driver::Once => "not costed",
    }
}

/// What a price of the plan is multiplied by, and whether it is given as nought.
fn driver(facts: &Facts<'_>, key: &str) -> Option<(Driver, bool)> {
    let set = &facts.plan.assumptions;
    if let Some(at) = key.strip_prefix("own.").and_then(|at| at.parse::<usize>().ok()) {
        let own = set.own.get(at.checked_sub(1)?)?;
        return Some((own.driver, own.value.range.high <= 0.0));
    }
    let entry = catalogue()
        .iter()
        .find(|entry| entry.kind == Kind::Money && entry.key.strip_prefix("money.") == Some(key))?;
    let range = set.range(entry.key)?;
    Some((entry.driver, range.high <= 0.0))
}

#[cfg(test)]
mod tests {
    use super::{Driver, line};

    #[test]
    fn a_line_that_comes_to_nothing_says_why() {
        assert!(line((Driver::Items, true)).contains("nought"));
        assert!(line((Driver::ItemsToClean, false)).contains("no item that it is for was met"));
        assert!(line((Driver::PercentOfLabour, false)).contains("labour"));
        let digit = |driver| line((driver, false)).contains(|c: char| c.is_ascii_digit());
        assert!(
            ![Driver::Once, Driver::StaffHours, Driver::GigabyteYears]
                .into_iter()
                .any(digit)
        );
    }
}
