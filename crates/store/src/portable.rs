//! The portable form of a backup: lines of JSON, the same from either database, so that a store can move.
//!
//! ```text
//! {"becket":"store","form":1,"schema":2}
//! {"table":"counters","columns":["name","value"]}
//! ["events",1]
//! {"rows":1,"sha256":"…"}
//! ```
//! Rows are sorted by their key, bytes are base64, and the last line has the digest of all lines before it: a file that
//! was cut off is not taken for a whole one.

use std::path::Path;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD as BASE64;
use futures_util::StreamExt;
use serde_json::{Value as Json, json};
use sha2::{Digest, Sha256};
use sqlx::AssertSqlSafe;
use tokio::io::{AsyncBufReadExt, AsyncWriteExt, BufReader, BufWriter};

use crate::database::{Row, Transactor};
use crate::error::StoreError;
use crate::schema;
use crate::tables::{Holds, TABLES, Table};
use crate::text;
use crate::value::Value;

/// The version of this form.
const FORM: u32 = 1;
/// Rows and bytes that go into one statement.
const ROWS: usize = 64;
const BYTES: usize = 1 << 20;

/// Writes all of a store as one moment of it.
pub(crate) async fn write(
    snapshot: &mut Transactor,
    file: tokio::fs::File,
    path: &Path,
) -> Result<(), StoreError> {
    let mut out = Out { file: BufWriter::new(file), digest: Sha256::new(), path };
    out.line(&format!(r#"{{"becket":"store","form":{FORM},"schema":{}}}"#, schema::KNOWN)).await?;
    let mut count = 0_u64;
    for table in &TABLES {
        let names: Vec<&str> = table.columns.iter().map(|(name, _)| *name).collect();
        out.line(&format!(r#"{{"table":"{}","columns":{}}}"#, table.name, json!(names))).await?;
        let sql = format!("select {} from {} order by {}", names.join(", "), table.name, table.key);
        let mut rows = std::pin::pin!(snapshot.stream(AssertSqlSafe(sql), vec![]));
        while let Some(row) = rows.next().await {
            out.line(&row_line(table, &row?)?).await?;
            count += 1;
        }
    }
    let digest = text::hex(&out.digest.clone().finalize());
    out.line(&format!(r#"{{"rows":{count},"sha256":"{digest}"}}"#)).await?;
    out.done().await
}

struct Out<'a> {
    file: BufWriter<tokio::fs::File>,
    digest: Sha256,
    path: &'a Path,
}

impl Out<'_> {
    async fn line(&mut self, line: &str) -> Result<(), StoreError> {
        for bytes in [line.as_bytes(), b"\n"] {
            self.digest.update(bytes);
            self.file.write_all(bytes).await.map_err(|error| file_error(self.path, &error))?;
        }
        Ok(())
    }

    /// Until it is on the disk.
    async fn done(mut self) -> Result<(), StoreError> {
        self.file.flush().await.map_err(|error| file_error(self.path, &error))?;
        self.file.get_ref().sync_all().await.map_err(|error| file_error(self.path, &error))
    }
}

pub(crate) fn file_error(path: &Path, error: &std::io::Error) -> StoreError {
    if error.kind() == std::io::ErrorKind::StorageFull {
        return StoreError::Full { place: format!("the file {}", path.display()), detail: error.to_string() };
    }
    StoreError::File { path: path.display().to_string(), detail: error.to_string() }
}

fn row_line(table: &Table, row: &Row) -> Result<String, StoreError> {
    let cells: Result<Vec<Json>, StoreError> = table
        .columns
        .iter()
        .enumerate()
        .map(|(at, (_, holds))| {
            Ok(match holds {
                Holds::Text => row.maybe_text(at)?.into(),
                Holds::Int => row.maybe_int(at)?.into(),
                Holds::Bytes => row.maybe_bytes(at)?.map(|bytes| BASE64.encode(bytes)).into(),
            })
        })
        .collect();
    Ok(Json::from(cells?).to_string())
}

/// Reads a portable backup into a store that has no tables yet, at the version that it was written by.
pub(crate) async fn read(change: &mut Transactor, path: &Path) -> Result<(), StoreError> {
    let file = tokio::fs::File::open(path).await.map_err(|error| file_error(path, &error))?;
    let mut source =
        Source { lines: BufReader::new(file), digest: Sha256::new(), before: String::new(), number: 0, path };
    let version = source.head().await?;
    schema::make(change, version).await?;
    // What the steps themselves put in is in the backup as well.
    change.run("delete from counters", vec![]).await?;
    let mut load = Load { rows: Vec::new(), count: 0, bytes: 0 };
    let mut open: Option<Columns> = None;
    let mut total = 0_u64;
    while let Some(line) = source.next().await? {
        match (line, &open) {
            (Json::Array(cells), Some(columns)) => {
                load.take(columns, cells).map_err(|detail| source.bad(&detail))?;
                total += 1;
                if load.count >= ROWS || load.bytes >= BYTES {
                    load.flush(change, columns).await?;
                }
            }
            (Json::Object(line), columns) => {
                if let Some(columns) = columns {
                    load.flush(change, columns).await?;
                }
                if line.contains_key("rows") {
                    return source.end(&line, total).await;
                }
                open = Some(Columns::read(&line).map_err(|detail| source.bad(&detail))?);
            }
            _ => return Err(source.bad("it is neither a table nor a row")),
        }
    }
    Err(source.bad("the backup ends before its last line, as if it had been cut off"))
}

struct Source<'a> {
    lines: BufReader<tokio::fs::File>,
    digest: Sha256,
    /// The line that was read last; it is part of the digest once it is known not to be the last one.
    before: String,
    number: u64,
    path: &'a Path,
}

impl Source<'_> {
    async fn next(&mut self) -> Result<Option<Json>, StoreError> {
        self.digest.update(self.before.as_bytes());
        self.before.clear();
        self.number += 1;
        let read = self.lines.read_line(&mut self.before).await;
        if read.map_err(|error| file_error(self.path, &error))? == 0 {
            return Ok(None);
        }
        serde_json::from_str(&self.before)
            .map(Some)
            .map_err(|error| self.bad(&format!("it is not JSON ({error})")))
    }

    /// The first line: which version of the tables follows.
    async fn head(&mut self) -> Result<u32, StoreError> {
        let head = self.next().await?.unwrap_or_default();
        if head.get("becket").and_then(Json::as_str) != Some("store") {
            return Err(self.bad("it does not begin as a backup of Becket does"));
        }
        let number = |key: &str| head.get(key).and_then(Json::as_u64).and_then(|n| u32::try_from(n).ok());
        let (Some(form), Some(version)) = (number("form"), number("schema")) else {
            return Err(self.bad("it does not say which version it is of"));
        };
        for (found, known) in [(form, FORM), (version, schema::KNOWN)] {
            if found > known {
                return Err(StoreError::NewerSchema {
                    place: format!("The backup {}", self.path.display()),
                    found,
                    known,
                });
            }
        }
        if version == 0 { Err(self.bad("there is no version 0")) } else { Ok(version) }
    }

    /// The last line, which must agree with what was read, and be the last.
    async fn end(&mut self, line: &serde_json::Map<String, Json>, total: u64) -> Result<(), StoreError> {
        let digest = text::hex(&self.digest.clone().finalize());
        if line.get("rows").and_then(Json::as_u64) != Some(total)
            || line.get("sha256").and_then(Json::as_str) != Some(&digest)
        {
            return Err(
                self.bad("the backup is not as it was written: its count or its digest does not agree")
            );
        }
        match self.next().await? {
            None => Ok(()),
            Some(_) => Err(self.bad("something follows the last line")),
        }
    }

    fn bad(&self, detail: &str) -> StoreError {
        StoreError::BadBackup {
            path: self.path.display().to_string(),
            line: self.number,
            detail: detail.to_owned(),
        }
    }
}

/// The table and the columns of the rows that follow.
struct Columns {
    table: &'static str,
    columns: Vec<(&'static str, Holds)>,
}

impl Columns {
    /// Only names that are ours come out of this: they are written into statements.
    fn read(line: &serde_json::Map<String, Json>) -> Result<Self, String> {
        let name = line.get("table").and_then(Json::as_str).unwrap_or_default();
        let table =
            TABLES.iter().find(|table| table.name == name).ok_or(format!("there is no table “{name}”"))?;
        let names = line.get("columns").and_then(Json::as_array).ok_or("a table without columns")?;
        let columns: Result<Vec<_>, String> = names
            .iter()
            .map(|name| {
                let known = table.columns.iter().find(|(own, _)| name == own);
                known.copied().ok_or(format!("the table “{}” has no column {name}", table.name))
            })
            .collect();
        Ok(Self { table: table.name, columns: columns? })
    }
}

/// Rows that wait to be written together.
struct Load {
    rows: Vec<Value>,
    count: usize,
    bytes: usize,
}

impl Load {
    fn take(&mut self, columns: &Columns, cells: Vec<Json>) -> Result<(), String> {
        if cells.len() != columns.columns.len() {
            return Err(format!("{} values for {} columns", cells.len(), columns.columns.len()));
        }
        for (cell, (name, holds)) in cells.into_iter().zip(&columns.columns) {
            let wrong = || format!("the value of “{name}” is of another kind");
            self.rows.push(match (holds, cell) {
                (Holds::Text, Json::Null) => Value::Text(None),
                (Holds::Int, Json::Null) => Value::Int(None),
                (Holds::Bytes, Json::Null) => Value::Bytes(None),
                (Holds::Text, Json::String(text)) => {
                    self.bytes += text.len();
                    Value::Text(Some(text))
                }
                (Holds::Int, Json::Number(number)) => Value::Int(Some(number.as_i64().ok_or_else(wrong)?)),
                (Holds::Bytes, Json::String(text)) => {
                    self.bytes += text.len();
                    Value::Bytes(Some(BASE64.decode(text).map_err(|_| wrong())?))
                }
                _ => return Err(wrong()),
            });
        }
        self.count += 1;
        Ok(())
    }

    async fn flush(&mut self, change: &mut Transactor, columns: &Columns) -> Result<(), StoreError> {
        if self.count == 0 {
            return Ok(());
        }
        let names: Vec<&str> = columns.columns.iter().map(|(name, _)| *name).collect();
        let places = crate::value::places(self.count, names.len());
        let sql = format!("insert into {} ({}) values {places}", columns.table, names.join(", "));
        change.run(AssertSqlSafe(sql), std::mem::take(&mut self.rows)).await?;
        (self.count, self.bytes) = (0, 0);
        Ok(())
    }
}
