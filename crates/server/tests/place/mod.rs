//! Where the base of a test is kept: on SQLite, unless the test runs once more on another database.
#![allow(dead_code, reason = "each suite uses a part of it")]

use std::cell::RefCell;
use std::path::Path;
use std::pin::Pin;
use std::rc::Rc;

use store::Address;

/// Makes an empty database and gives its address.
pub(crate) type Maker = Rc<dyn Fn() -> Pin<Box<dyn Future<Output = Address>>>>;

thread_local! {
    /// What makes the databases of the tests of this thread; nothing for SQLite.
    static MAKER: RefCell<Option<Maker>> = const { RefCell::new(None) };
}

/// From now on the tests of this thread get their databases from here.
pub(crate) fn from(maker: Maker) {
    MAKER.set(Some(maker));
}

async fn elsewhere() -> Option<Address> {
    let maker = MAKER.with_borrow(Clone::clone);
    match maker {
        Some(maker) => Some(maker().await),
        None => None,
    }
}

/// For a base that is opened once.
pub(crate) async fn passing() -> Address {
    elsewhere().await.unwrap_or_else(Address::memory)
}

/// For a base that is opened more than once; a file of it is in this folder.
pub(crate) async fn lasting(folder: &Path) -> Address {
    elsewhere().await.unwrap_or_else(|| Address::file(folder.join("base.db")))
}
