//! `datapackage.json`: a Data Package, version 2, that says what every column of every table means.
//!
//! Written so that readers of version 1 cope: no `list`, missing values as plain text
//! (datapackage.org, standard 2.0; read with the `frictionless` validator).

use serde_json::{Value, json};
use survey::State;

use crate::bag;
use crate::tables::{Field, Holds, Table};

const PACKAGE: &str = "https://datapackage.org/profiles/2.0/datapackage.json";
const RESOURCE: &str = "https://datapackage.org/profiles/2.0/dataresource.json";
const SCHEMA: &str = "https://datapackage.org/profiles/2.0/tableschema.json";

const ABOUT: &str = "A sample survey of boxes of magnetic audio tape. In text columns a cell that would begin like a \
                     spreadsheet formula has a single quote in front; log.ndjson, beside these tables, has every text \
                     as it was given. draw.json holds all it takes to draw the sample again.";

/// The bytes of `datapackage.json`.
pub(crate) fn datapackage_json(state: &State, tables: &[Table]) -> Vec<u8> {
    crate::json(&json!({
        "$schema": PACKAGE,
        "name": crate::short_name(state.survey),
        "id": state.survey.to_string(),
        "title": state.title,
        "description": ABOUT,
        "resources": tables.iter().map(resource).collect::<Vec<_>>(),
    }))
}

fn resource(table: &Table) -> Value {
    let mut schema = json!({
        "$schema": SCHEMA,
        "fields": table.fields.iter().map(field).collect::<Vec<_>>(),
        "missingValues": [""],
        "primaryKey": table.key,
    });
    if matches!(table.name, "items" | "counts") {
        let key = ["stratum", "box_id"];
        schema["foreignKeys"] =
            json!([{ "fields": key, "reference": { "resource": "boxes", "fields": key } }]);
    }
    json!({
        "$schema": RESOURCE,
        "name": table.name,
        "type": "table",
        "path": table.path(),
        "description": table.about,
        "scheme": "file",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": table.bytes.len(),
        "hash": format!("sha256:{}", bag::sha256(&table.bytes)),
        "dialect": { "delimiter": ",", "lineTerminator": "\n", "quoteChar": "\"", "doubleQuote": true, "header": true },
        "schema": schema,
    })
}

fn field(field: &Field) -> Value {
    let (kind, constraints) = match field.holds {
        Holds::Text => ("string", None),
        Holds::Word(words) => ("string", Some(json!({ "enum": words }))),
        Holds::YesNo => ("integer", Some(json!({ "enum": [0, 1] }))),
        Holds::Whole => ("integer", Some(json!({ "minimum": 0 }))),
        Holds::Number => ("number", None),
        Holds::Instant => ("datetime", None),
    };
    let mut described = json!({ "name": field.name, "type": kind, "description": field.about });
    if let Some(constraints) = constraints {
        described["constraints"] = constraints;
    }
    described
}
