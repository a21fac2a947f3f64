//! `quarterlight tables`: the tables of many surveys as Parquet, one folder a table, for whatever queries such folders.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use handover::columns::{self, Column, Columns, Values};
use handover::{APP, short_name};
use parquet::basic::{LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{Type, TypePtr};
use survey::State;

use crate::{files, output};

/// Write the tables of survey files as Parquet: OUT/items/*.parquet and so on, to be queried together
#[derive(clap::Args)]
pub(crate) struct Args {
    /// The survey files, one a survey
    #[arg(required = true)]
    from: Vec<PathBuf>,
    /// The folder to write into; it is made if it is not there, and nothing in it is overwritten
    #[arg(long)]
    out: PathBuf,
}

/// Writes a file a survey and table, and names the folders.
pub(crate) fn run(args: &Args) -> Result<ExitCode, String> {
    let mut known = BTreeMap::new();
    for path in &args.from {
        let log = files::survey(path)?.log;
        if let Some((other, _)) = known.insert(log.survey(), (path, log)) {
            return Err(format!(
                "{} and {} are of one survey, which would be counted twice: put them together first (quarterlight merge)",
                other.display(),
                path.display()
            ));
        }
    }
    let mut folders = BTreeMap::new();
    for (_, log) in known.into_values() {
        let title = State::fold(&log).title;
        for table in columns::of(&log) {
            let folder = args.out.join(table.name);
            let n_rows = table.columns.first().map_or(0, |column| column.values.len());
            let of_survey = [log.survey().to_string(), title.clone()];
            let file = folder.join(format!("{}.parquet", short_name(log.survey())));
            write(&file, with_survey(table, of_survey, n_rows))?;
            *folders.entry(folder).or_insert(0) += n_rows;
        }
    }
    for (folder, n_rows) in folders {
        output::line(format_args!("{}: {n_rows} rows", folder.display()))?;
    }
    Ok(ExitCode::SUCCESS)
}

/// A table whose rows say which survey they are of.
fn with_survey(mut table: Columns, of_survey: [String; 2], n_rows: usize) -> Columns {
    let first = ["survey", "survey_title"].into_iter().zip(of_survey);
    let first = first.map(|(name, text)| Column {
        name: name.to_owned(),
        values: Values::Text(vec![Some(text); n_rows]),
    });
    table.columns.splice(0..0, first);
    table
}

fn write(path: &Path, table: Columns) -> Result<(), String> {
    let failed = |error: &dyn std::fmt::Display| format!("{} cannot be written: {error}", path.display());
    let bytes = parquet(table).map_err(|error| failed(&error))?;
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder).map_err(|error| failed(&error))?;
    }
    files::write_new(path, &bytes)
}

/// The same table gives the same bytes.
fn parquet(table: Columns) -> Result<Vec<u8>, ParquetError> {
    let fields = table.columns.iter().map(field).collect::<Result<_, _>>()?;
    let schema = Type::group_type_builder(table.name).with_fields(fields).build()?;
    let properties = WriterProperties::builder().set_created_by(APP.to_owned()).build();
    let mut writer = SerializedFileWriter::new(Vec::new(), Arc::new(schema), Arc::new(properties))?;
    let mut rows = writer.next_row_group()?;
    for column in table.columns {
        let Some(mut to) = rows.next_column()? else { break };
        put(to.untyped(), column.values)?;
        to.close()?;
    }
    rows.close()?;
    writer.into_inner()
}

fn field(column: &Column) -> Result<TypePtr, ParquetError> {
    let (physical, logical) = match column.values {
        Values::Text(_) => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
        Values::YesNo(_) => (Physical::BOOLEAN, None),
        Values::Whole(_) => (Physical::INT64, None),
        Values::Number(_) => (Physical::DOUBLE, None),
    };
    let built = Type::primitive_type_builder(&column.name, physical)
        .with_repetition(Repetition::OPTIONAL)
        .with_logical_type(logical)
        .build()?;
    Ok(Arc::new(built))
}

/// Values that are there, and which rows have one: what is not known takes no room.
fn put(writer: &mut ColumnWriter<'_>, values: Values) -> Result<(), ParquetError> {
    match (writer, values) {
        (ColumnWriter::ByteArrayColumnWriter(to), Values::Text(texts)) => {
            let (there, levels) = apart(
                texts
                    .into_iter()
                    .map(|text| text.map(|text| ByteArray::from(text.into_bytes()))),
            );
            to.write_batch(&there, Some(&levels), None)
        }
        (ColumnWriter::BoolColumnWriter(to), Values::YesNo(values)) => {
            let (there, levels) = apart(values.into_iter());
            to.write_batch(&there, Some(&levels), None)
        }
        (ColumnWriter::Int64ColumnWriter(to), Values::Whole(values)) => {
            let (there, levels) = apart(values.into_iter());
            to.write_batch(&there, Some(&levels), None)
        }
        (ColumnWriter::DoubleColumnWriter(to), Values::Number(values)) => {
            let (there, levels) = apart(values.into_iter());
            to.write_batch(&there, Some(&levels), None)
        }
        _ => Err(ParquetError::General(
            "a column of another type than its field".to_owned(),
        )),
    }?;
    Ok(())
}

fn apart<T>(values: impl Iterator<Item = Option<T>>) -> (Vec<T>, Vec<i16>) {
    let (mut there, mut levels) = (Vec::new(), Vec::new());
    for value in values {
        levels.push(i16::from(value.is_some()));
        there.extend(value);
    }
    (there, levels)
}
