//! Accounts of those who work at the base, and the sessions in which they are logged in.

use std::fmt;

use jiff::Timestamp;

use crate::database::{Row, Transactor};
use crate::error::StoreError;
use crate::store::Store;
use crate::text;
use crate::value::values;

/// What somebody does at the base, and so what she may do here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Runs the base: boat files, accounts, settings.
    Manager,
    /// Checks boats out and takes them back.
    Skipper,
    /// Readies boats.
    Hand,
}

impl Role {
    const ALL: [(Self, &'static str); 3] =
        [(Self::Manager, "manager"), (Self::Skipper, "skipper"), (Self::Hand, "hand")];

    /// As it is stored and sent: one small word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Manager => "manager",
            Self::Skipper => "skipper",
            Self::Hand => "hand",
        }
    }

    /// The role of this word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, own)| *own == word).map(|(role, _)| *role)
    }
}

/// An account.
#[derive(Clone, PartialEq, Eq)]
pub struct Account {
    /// Its id.
    pub id: String,
    /// The name to log in with; no two accounts have the same.
    pub name: String,
    /// What its owner does.
    pub role: Role,
    /// The password's hash, as the server's hashing writes it. Never the password.
    pub password: String,
    /// Whether its owner may log in.
    pub active: bool,
    /// When it was made.
    pub created: Timestamp,
}

impl fmt::Debug for Account {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // A hash in a log could be guessed at.
        let Self { id, name, role, active, created, .. } = self;
        write!(f, "Account {{ {id}, {name}, {role:?}, active: {active}, created: {created} }}")
    }
}

/// What is kept of a secret that somebody carries (a session's cookie, a crew's link): its SHA-256. Who reads the
/// store can't use it. Only for secrets that nobody can guess, not for passwords.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct TokenHash(String);

impl TokenHash {
    /// Of this secret.
    pub fn of(token: &str) -> Self {
        Self(text::sha256(token.as_bytes()))
    }

    /// As 64 small hexadecimal letters.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    pub(crate) fn stored(hash: String) -> Self {
        Self(hash)
    }
}

/// A session: somebody is logged in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Session {
    /// Of the secret in the cookie.
    pub token: TokenHash,
    /// Whose it is.
    pub account: String,
    /// Until when.
    pub expires: Timestamp,
    /// The secret that each form of this session repeats.
    pub csrf: String,
}

impl Store {
    /// Adds an account.
    ///
    /// # Errors
    /// [`StoreError::Taken`] if an account has this id or this name.
    pub async fn add_account(&self, account: &Account) -> Result<(), StoreError> {
        plain(account)?;
        let mut change = self.database.change().await?;
        let sql = "insert into accounts (id, name, role, password, active, created)
            values ($1, $2, $3, $4, $5, $6)";
        let Account { id, name, role, password, active, created } = account;
        let done = change.run(sql, values![id, name, role.word(), password, *active, *created]).await;
        done.map_err(|error| named(error, name))?;
        change.commit().await
    }

    /// Changes name, role, password and whether it is active; its id says which account. Whoever is logged in to it
    /// is logged out if it is no longer active, or its role or password is another.
    ///
    /// # Errors
    /// [`StoreError::Missing`] if there is no such account, [`StoreError::Taken`] if another has this name.
    pub async fn change_account(&self, account: &Account) -> Result<(), StoreError> {
        plain(account)?;
        let mut change = self.database.change().await?;
        let sql = "select id, name, role, password, active, created from accounts where id = $1";
        let before = change.row(sql, values![&account.id]).await?;
        let Some(before) = before.as_ref().map(read).transpose()? else {
            return Err(StoreError::Missing { what: format!("account “{}”", account.name) });
        };
        let sql = "update accounts set name = $1, role = $2, password = $3, active = $4 where id = $5";
        let Account { id, name, role, password, active, .. } = account;
        let done = change.run(sql, values![name, role.word(), password, *active, id]).await;
        done.map_err(|error| named(error, name))?;
        if !active || *role != before.role || *password != before.password {
            end_all(&mut change, id).await?;
        }
        change.commit().await
    }

    /// The account of this id.
    pub async fn account(&self, id: &str) -> Result<Option<Account>, StoreError> {
        let sql = "select id, name, role, password, active, created from accounts where id = $1";
        self.database.row(sql, values![id]).await?.as_ref().map(read).transpose()
    }

    /// The account of this name, active or not.
    pub async fn account_named(&self, name: &str) -> Result<Option<Account>, StoreError> {
        let sql = "select id, name, role, password, active, created from accounts where name = $1";
        self.database.row(sql, values![name]).await?.as_ref().map(read).transpose()
    }

    /// All accounts, by name.
    pub async fn accounts(&self) -> Result<Vec<Account>, StoreError> {
        let sql = "select id, name, role, password, active, created from accounts order by name";
        self.database.rows(sql, vec![]).await?.iter().map(read).collect()
    }

    /// Begins a session.
    ///
    /// # Errors
    /// [`StoreError::Missing`] if there is no such account, or it is not active.
    pub async fn begin_session(&self, session: &Session) -> Result<(), StoreError> {
        text::plain("A session", &session.csrf)?;
        let mut change = self.database.change().await?;
        // In one statement, so that an account which is closed at this moment gets no session.
        let sql = "insert into sessions (token, account, expires, csrf)
            select $1, id, $2, $3 from accounts where id = $4 and active = 1";
        let Session { token, account, expires, csrf } = session;
        let count = change.run(sql, values![token.as_str(), *expires, csrf, account]).await?;
        if count == 0 {
            return Err(StoreError::Missing { what: "active account to log in to".into() });
        }
        change.commit().await
    }

    /// The session of this secret with its account, if it has not expired and the account is active.
    pub async fn session(
        &self,
        token: &TokenHash,
        now: Timestamp,
    ) -> Result<Option<(Session, Account)>, StoreError> {
        let sql = "select accounts.id, name, role, password, active, created, expires, csrf
            from sessions join accounts on accounts.id = sessions.account
            where token = $1 and expires > $2 and active = 1";
        let Some(row) = self.database.row(sql, values![token.as_str(), now]).await? else { return Ok(None) };
        let account = read(&row)?;
        let session = Session {
            token: token.clone(),
            account: account.id.clone(),
            expires: row.time(6)?,
            csrf: row.text(7)?,
        };
        Ok(Some((session, account)))
    }

    /// Lets a session last until then.
    pub async fn prolong_session(&self, token: &TokenHash, expires: Timestamp) -> Result<(), StoreError> {
        let mut change = self.database.change().await?;
        let sql = "update sessions set expires = $1 where token = $2";
        change.run(sql, values![expires, token.as_str()]).await?;
        change.commit().await
    }

    /// Ends a session.
    pub async fn end_session(&self, token: &TokenHash) -> Result<(), StoreError> {
        let mut change = self.database.change().await?;
        change.run("delete from sessions where token = $1", values![token.as_str()]).await?;
        change.commit().await
    }

    /// Ends all sessions of an account.
    pub async fn end_sessions(&self, account: &str) -> Result<(), StoreError> {
        let mut change = self.database.change().await?;
        end_all(&mut change, account).await?;
        change.commit().await
    }

    /// Forgets sessions that have expired. How many there were.
    pub async fn forget_expired_sessions(&self, now: Timestamp) -> Result<u64, StoreError> {
        let mut change = self.database.change().await?;
        let count = change.run("delete from sessions where expires <= $1", values![now]).await?;
        change.commit().await?;
        Ok(count)
    }
}

async fn end_all(change: &mut Transactor, account: &str) -> Result<(), StoreError> {
    change.run("delete from sessions where account = $1", values![account]).await?;
    Ok(())
}

fn plain(account: &Account) -> Result<(), StoreError> {
    let what = format!("The account “{}”", account.name);
    [&account.id, &account.name, &account.password].into_iter().try_for_each(|text| text::plain(&what, text))
}

/// Says whose name is taken.
fn named(error: StoreError, name: &str) -> StoreError {
    match error {
        StoreError::Taken { .. } => StoreError::Taken { what: format!("an account “{name}”") },
        other => other,
    }
}

fn read(row: &Row) -> Result<Account, StoreError> {
    let word = row.text(2)?;
    Ok(Account {
        id: row.text(0)?,
        name: row.text(1)?,
        role: Role::of(&word).ok_or_else(|| row.wrong(2, &word))?,
        password: row.text(3)?,
        active: row.int(4)? == 1,
        created: row.time(5)?,
    })
}
