//! Answers as a table: a row an item, a column a question. `quarterlight questions` documents the heading.

use std::path::Path;

use tape::{Answer, Answers, CANT_TELL, Kind, PHOTOGRAPHED, Question, Subject, question};

use crate::files;

/// One row of the table.
pub(crate) struct Row {
    /// The first of the columns `item`, `id` or `name`, else the row's number.
    pub(crate) name: String,
    pub(crate) boxed: Answers,
    pub(crate) item: Answers,
}

/// Columns that only name the row.
const NAMES: [&str; 3] = ["item", "id", "name"];

/// Reads the table.
///
/// # Errors
/// A sentence with the file's name, the row and the column.
pub(crate) fn read(path: &Path) -> Result<Vec<Row>, String> {
    parse(&files::bytes(path)?).map_err(|e| format!("{}: {e}", path.display()))
}

fn parse(bytes: &[u8]) -> Result<Vec<Row>, String> {
    let (heading, rows) = table(bytes)?;
    for name in &heading {
        if !NAMES.contains(&name.as_str()) && question(name).is_none() {
            return Err(format!(
                "there is no question '{name}'; `quarterlight questions` lists them"
            ));
        }
    }
    let mut out = Vec::new();
    for (i, cells) in rows.iter().enumerate() {
        let (mut boxed, mut item) = (Answers::new(), Answers::new());
        let mut name = (i + 1).to_string();
        for (column, cell) in heading.iter().zip(cells) {
            let cell = cell.trim();
            if cell.is_empty() {
                continue;
            }
            let Some(q) = question(column) else {
                cell.clone_into(&mut name);
                continue;
            };
            let answer = answer(q, cell).map_err(|e| format!("row {}: {e}", i + 1))?;
            match q.subject {
                Subject::Box => boxed.insert(column.clone(), answer),
                Subject::Item => item.insert(column.clone(), answer),
            };
        }
        out.push(Row { name, boxed, item });
    }
    Ok(out)
}

/// A table's heading and rows; commas or semicolons, with or without a byte-order mark.
///
/// # Errors
/// A sentence saying what is wrong with the file.
pub(crate) fn table(bytes: &[u8]) -> Result<(Vec<String>, Vec<Vec<String>>), String> {
    let text = std::str::from_utf8(bytes).map_err(|_| "is not a text file in UTF-8".to_owned())?;
    let text = text.trim_start_matches('\u{feff}');
    let first = text.lines().next().unwrap_or_default();
    let semicolons = first.matches(';').count() > first.matches(',').count();
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(if semicolons { b';' } else { b',' })
        .flexible(true)
        .from_reader(text.as_bytes());
    let heading = reader
        .headers()
        .map_err(|e| e.to_string())?
        .iter()
        .map(|h| h.trim().to_lowercase())
        .collect();
    let rows = reader
        .records()
        .map(|r| r.map(|r| r.iter().map(str::to_owned).collect()))
        .collect::<Result<_, _>>()
        .map_err(|e: csv::Error| e.to_string())?;
    Ok((heading, rows))
}

fn answer(q: &'static Question, cell: &str) -> Result<Answer, String> {
    if cell == CANT_TELL || cell == PHOTOGRAPHED {
        return Ok(Answer::one(cell));
    }
    let known = |key: &str| q.choices.iter().any(|c| c.key == key) || key == CANT_TELL || key == PHOTOGRAPHED;
    let refuse = |key: &str| format!("question {} has no answer '{key}'", q.key);
    match q.kind {
        Kind::One if known(cell) => Ok(Answer::one(cell)),
        Kind::One => Err(refuse(cell)),
        Kind::Many => {
            let keys: Vec<&str> = cell.split(['|', '+', ' ']).filter(|k| !k.is_empty()).collect();
            match keys.iter().find(|k| !known(k)) {
                Some(key) => Err(refuse(key)),
                None => Ok(Answer::many(keys)),
            }
        }
        Kind::Number { min, max, .. } => match cell.parse::<f64>() {
            Ok(x) if (min..=max).contains(&x) => Ok(Answer::Number(x)),
            _ => Err(format!(
                "question {} takes a number from {min} to {max}, not '{cell}'",
                q.key
            )),
        },
        Kind::Text => Ok(Answer::Text(cell.to_owned())),
        Kind::Counts => counts(q, cell),
    }
}

/// `cassette:12 reel_quarter:3`
fn counts(q: &Question, cell: &str) -> Result<Answer, String> {
    let mut out = std::collections::BTreeMap::new();
    for part in cell.split_whitespace() {
        let bad = || format!("question {} takes carrier:number, not '{part}'", q.key);
        let (carrier, n) = part.split_once(':').ok_or_else(bad)?;
        if tape::carrier(carrier).is_none() {
            return Err(bad());
        }
        out.insert(carrier.to_owned(), n.parse().map_err(|_| bad())?);
    }
    Ok(Answer::Counts(out))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_each_kind_of_answer() {
        let csv =
            "item;mould;carrier;damage;pack_diameter;count\nA;none;cassette;edge|crease;;cassette:3 dat:1\n";
        let rows = parse(csv.as_bytes()).unwrap();
        assert_eq!(rows[0].name, "A");
        assert_eq!(rows[0].item["damage"], Answer::many(["edge", "crease"]));
        assert_eq!(
            rows[0].boxed["count"],
            Answer::Counts([("cassette".into(), 3), ("dat".into(), 1)].into())
        );
        assert_eq!(rows[0].item.len(), 2);
        let rows = parse("\u{feff}light,pack_diameter\r\ncant_tell,120.5\r\n".as_bytes()).unwrap();
        assert_eq!(rows[0].item["pack_diameter"], Answer::Number(120.5));
        assert_eq!(rows[0].name, "1");
    }

    #[test]
    fn says_what_it_cannot_read() {
        let fault = |csv: &str| parse(csv.as_bytes()).err().unwrap_or_default();
        assert!(fault("lihgt\nglows\n").contains("no question 'lihgt'"));
        assert_eq!(
            fault("light\nshines\n"),
            "row 1: question light has no answer 'shines'"
        );
        assert_eq!(
            fault("damage\nedge|dent\n"),
            "row 1: question damage has no answer 'dent'"
        );
        assert!(fault("pack_diameter\n9000\n").contains("from 30 to 360"));
        assert!(fault("count\ncassette\n").contains("carrier:number"));
        assert!(parse(&[0xff, 0xfe]).is_err());
    }
}
