//! A PostgreSQL server of the tests' own: a new cluster in a temporary folder, reached by a socket in it.

use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use sqlx::postgres::{PgConnectOptions, PgConnection};
use sqlx::{AssertSqlSafe, Connection};
use store::Address;
use tempfile::TempDir;

/// A server; it ends with this value.
pub(crate) struct Server {
    folder: TempDir,
    programs: PathBuf,
    user: Option<(u32, u32)>,
    process: Option<Child>,
}

impl Server {
    /// Starts one; `None` where PostgreSQL is not installed and need not be.
    pub(crate) fn start() -> Option<Self> {
        let Some(programs) = programs() else {
            let needed = std::env::var_os("BECKET_NEED_POSTGRES").is_some_and(|value| value == "1");
            assert!(!needed, "PostgreSQL is not installed, and BECKET_NEED_POSTGRES is 1.");
            eprintln!("SKIPPED: PostgreSQL is not installed here (Debian: apt-get install postgresql).");
            return None;
        };
        let folder = quick_folder("pg");
        let mut server = Self { folder, programs, user: other_user(), process: None };
        server.give(server.folder.path());
        let data = server.data();
        // An order of letters other than by bytes, so that nothing here leans on the order of bytes by chance.
        let words = ["-U", "becket", "-A", "trust", "-E", "UTF8", "--no-sync", "--locale=C.UTF-8"];
        let order = ["--locale-provider=icu", "--icu-locale=en-US"];
        let mut init = server.command("initdb");
        init.args(words).args(order).arg("-D").arg(data).stdout(Stdio::null());
        assert!(init.status().unwrap().success(), "initdb failed");
        server.launch();
        Some(server)
    }

    /// Makes a database; the address of it.
    pub(crate) async fn database(&self, name: &str) -> Address {
        self.run("postgres", &format!("create database {name}")).await;
        self.address(name)
    }

    pub(crate) fn address(&self, name: &str) -> Address {
        Address::read(&self.url(name)).unwrap()
    }

    pub(crate) fn url(&self, name: &str) -> String {
        format!("postgres://becket@localhost/{name}?host={}", self.folder.path().display())
    }

    /// Runs statements, each by itself, in one of the databases.
    pub(crate) async fn run(&self, database: &str, sql: &str) {
        let mut connection = self.connect(database).await.unwrap();
        sqlx::raw_sql(AssertSqlSafe(sql.to_owned())).execute(&mut connection).await.unwrap();
        connection.close().await.unwrap();
    }

    pub(crate) async fn connect(&self, database: &str) -> Result<PgConnection, sqlx::Error> {
        PgConnection::connect_with(&self.url(database).parse::<PgConnectOptions>().unwrap()).await
    }

    /// Starts the server program, and waits until it answers.
    pub(crate) fn launch(&mut self) {
        let log = std::fs::File::options().create(true).append(true).open(self.folder.path().join("log"));
        let mut command = self.command("postgres");
        command.arg("-D").arg(self.data()).arg("-k").arg(self.folder.path());
        command.args(["-c", "listen_addresses=", "-c", "shared_buffers=16MB", "-c", "max_connections=60"]);
        // In the data folder, so that a killed server leaves nothing elsewhere.
        command.args(["-c", "dynamic_shared_memory_type=mmap"]);
        command.stdout(Stdio::null()).stderr(log.unwrap());
        self.process = Some(command.spawn().unwrap());
        let begun = Instant::now();
        while !self.answers() {
            let ended = self.process.as_mut().unwrap().try_wait().unwrap();
            let log = || std::fs::read_to_string(self.folder.path().join("log")).unwrap_or_default();
            assert!(ended.is_none(), "PostgreSQL ended:\n{}", log());
            assert!(begun.elapsed() < Duration::from_secs(30), "PostgreSQL does not answer:\n{}", log());
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Ends the server and all its helpers at once, as a failing machine would.
    pub(crate) fn kill(&mut self) {
        let Some(mut process) = self.process.take() else { return };
        let helpers = children(process.id());
        process.kill().unwrap();
        process.wait().unwrap();
        let list: Vec<String> = helpers.iter().map(u32::to_string).collect();
        // Some have noticed already and are gone; that is as well.
        let line = format!("kill -9 {} 2>/dev/null", list.join(" "));
        Command::new("sh").args(["-c", &line]).status().unwrap();
        let begun = Instant::now();
        while helpers.iter().any(|helper| runs(*helper)) && begun.elapsed() < Duration::from_secs(10) {
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    fn answers(&self) -> bool {
        let mut ready = self.command("pg_isready");
        ready.arg("-q").arg("-h").arg(self.folder.path()).status().unwrap().success()
    }

    fn data(&self) -> PathBuf {
        self.folder.path().join("data")
    }

    fn command(&self, program: &str) -> Command {
        let mut command = Command::new(self.programs.join(program));
        command.current_dir(self.folder.path()).stdin(Stdio::null());
        // PostgreSQL refuses to be run by root.
        if let Some((user, group)) = self.user {
            command.uid(user).gid(group);
        }
        command
    }

    /// Gives a folder to the user that the server runs as.
    pub(crate) fn give(&self, folder: &Path) {
        if let Some((user, group)) = self.user {
            std::os::unix::fs::chown(folder, Some(user), Some(group)).unwrap();
        }
    }
}

impl Drop for Server {
    /// Ends at once, but tidily: the system's memory that it shares with its helpers is given back.
    fn drop(&mut self) {
        let Some(process) = self.process.as_mut() else { return };
        let line = format!("kill -QUIT {}", process.id());
        let _ = Command::new("sh").args(["-c", &line]).status();
        let begun = Instant::now();
        while begun.elapsed() < Duration::from_secs(5) {
            if !matches!(process.try_wait(), Ok(None)) {
                return;
            }
            std::thread::sleep(Duration::from_millis(5));
        }
        self.kill();
    }
}

/// A folder in memory if there is room, else on the disk. What a killed program has written stays in either, and
/// thousands of small writes take less time.
pub(crate) fn quick_folder(prefix: &str) -> TempDir {
    const MEMORY: &str = "/dev/shm";
    const KILOBYTES: u64 = 512 * 1024;
    let output = Command::new("df").args(["-Pk", MEMORY]).output();
    let free = output.ok().and_then(|output| {
        let text = String::from_utf8(output.stdout).ok()?;
        text.lines().nth(1)?.split_whitespace().nth(3)?.parse::<u64>().ok()
    });
    let mut folder = tempfile::Builder::new();
    folder.prefix(prefix);
    let in_memory = free.filter(|free| *free > KILOBYTES).and_then(|_| folder.tempdir_in(MEMORY).ok());
    in_memory.unwrap_or_else(|| folder.tempdir().unwrap())
}

/// The folder of PostgreSQL's programs of the newest version installed.
fn programs() -> Option<PathBuf> {
    let versions = std::fs::read_dir("/usr/lib/postgresql").ok()?;
    let number = |path: &PathBuf| path.file_name()?.to_str()?.parse::<u32>().ok();
    let newest = versions.flatten().map(|entry| entry.path()).max_by_key(number)?;
    Some(newest.join("bin"))
        .filter(|folder| folder.join("initdb").exists() && folder.join("postgres").exists())
}

/// User and group of PostgreSQL's own account, if we are root.
fn other_user() -> Option<(u32, u32)> {
    let id = |words: &[&str]| {
        let output = Command::new("id").args(words).output().unwrap();
        String::from_utf8(output.stdout).unwrap().trim().parse::<u32>().ok()
    };
    if id(&["-u"]) != Some(0) {
        return None;
    }
    Some((id(&["-u", "postgres"]).unwrap(), id(&["-g", "postgres"]).unwrap()))
}

/// The programs that this one has started.
fn children(parent: u32) -> Vec<u32> {
    let all = std::fs::read_dir("/proc").unwrap().flatten();
    let numbers = all.filter_map(|entry| entry.file_name().to_str()?.parse::<u32>().ok());
    numbers.filter(|number| status(*number).is_some_and(|(_, by)| by == parent)).collect()
}

/// Whether it runs; one that has ended and that nobody asked after does not.
fn runs(process: u32) -> bool {
    status(process).is_some_and(|(state, _)| state != 'Z')
}

/// State and parent of a process (proc(5): after the name in brackets).
fn status(process: u32) -> Option<(char, u32)> {
    let text = std::fs::read_to_string(format!("/proc/{process}/stat")).ok()?;
    let mut words = text[text.rfind(')')? + 1..].split_whitespace();
    Some((words.next()?.chars().next()?, words.next()?.parse().ok()?))
}
