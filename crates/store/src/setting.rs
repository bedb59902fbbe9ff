//! Settings of the base: a key, and JSON.

use std::collections::BTreeMap;

use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

impl Store {
    /// Sets a setting to this JSON.
    pub async fn set(&self, key: &str, json: &str) -> Result<(), StoreError> {
        let what = format!("The setting “{key}”");
        text::plain(&what, key)?;
        text::json(&what, json)?;
        let mut change = self.database.change().await?;
        let sql = "insert into settings (key, value) values ($1, $2)
            on conflict (key) do update set value = excluded.value";
        change.run(sql, values![key, json]).await?;
        change.commit().await
    }

    /// The JSON of a setting.
    pub async fn setting(&self, key: &str) -> Result<Option<String>, StoreError> {
        let row = self.database.row("select value from settings where key = $1", values![key]).await?;
        row.map(|row| row.text(0)).transpose()
    }

    /// All settings.
    pub async fn settings(&self) -> Result<BTreeMap<String, String>, StoreError> {
        let rows = self.database.rows("select key, value from settings order by key", vec![]).await?;
        rows.iter().map(|row| Ok((row.text(0)?, row.text(1)?))).collect()
    }
}
