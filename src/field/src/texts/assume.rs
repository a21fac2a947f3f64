//! What can be assumed of times and prices, in the language the app speaks.

use costing::Entry;

use super::generated::assume::*;

/// What an entry is, in a planner's words.
pub(crate) fn label(entry: &Entry) -> &'static str {
    match entry.key {
        "time.setup_reel" => time_setup_reel(),
        "time.setup_cassette" => time_setup_cassette(),
        "time.metadata" => time_metadata(),
        "time.repair" => time_repair(),
        "time.clean" => time_clean(),
        "part.attention_reel" => part_attention_reel(),
        "part.attention_cassette" => part_attention_cassette(),
        "part.checking" => part_checking(),
        "part.outside" => part_outside(),
        "money.selection" => money_selection(),
        "money.inspection" => money_inspection(),
        "money.packing" => money_packing(),
        "money.transport" => money_transport(),
        "money.insurance" => money_insurance(),
        "money.cleaning" => money_cleaning(),
        "money.repair" => money_repair(),
        "money.specialist" => money_specialist(),
        "money.labour" => money_labour(),
        "money.machine" => money_machine(),
        "money.equipment" => money_equipment(),
        "money.transfer_bought" => money_transfer_bought(),
        "money.access" => money_access(),
        "money.storage" => money_storage(),
        "money.fixity" => money_fixity(),
        "money.rights" => money_rights(),
        "money.rehousing" => money_rehousing(),
        "money.space" => money_space(),
        "money.training" => money_training(),
        "money.management" => money_management(),
        "money.oncost" => money_oncost(),
        "money.overhead" => money_overhead(),
        "money.contingency" => money_contingency(),
        "money.tax" => money_tax(),
        _ => entry.label,
    }
}

/// The same, where only the catalogue's label is at hand.
pub(crate) fn of_label(english: &str) -> String {
    let mut all = costing::catalogue().iter();
    all.find(|entry| entry.label == english)
        .map_or_else(|| english.to_owned(), |entry| label(entry).to_owned())
}

/// Where its value comes from unless a person says otherwise.
pub(crate) fn source(entry: &Entry) -> &'static str {
    match entry.source {
        "common practice, no source" => common_practice(),
        "half as few to half as many again: a judgement, no source" => half_to_half_more(),
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn in_english_it_is_called_as_the_catalogue_calls_it() {
        for entry in costing::catalogue() {
            assert_eq!(label(entry), entry.label);
            assert_eq!(source(entry), entry.source);
        }
    }
}
