//! Listening, answering, and stopping in good order.

use std::future::Future;
use std::io;
use std::net::{Ipv4Addr, SocketAddr, SocketAddrV4};
use std::time::Duration;

use tokio::net::TcpListener;
use tokio::sync::oneshot;

use crate::app::{App, Failure, Opening, Shared, router};

/// Where the server listens unless it is told otherwise: this computer only.
pub const DEFAULT_LISTEN: SocketAddr = SocketAddr::V4(SocketAddrV4::new(Ipv4Addr::LOCALHOST, 8420));

/// How long requests may take to finish once the server is told to stop.
const PATIENCE: Duration = Duration::from_secs(5);

/// Opens a base and answers for it until the process is told to stop (Ctrl-C, or SIGTERM); `ready` is told the address,
/// and where the first manager is made if there is none yet.
///
/// Requests that are being answered are finished first, if that takes no longer than a few seconds.
///
/// # Errors
/// If the store can't be opened, or the socket fails.
pub fn serve(
    opening: Opening,
    listener: std::net::TcpListener,
    ready: impl FnOnce(SocketAddr, Option<String>),
) -> Result<(), Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    runtime.block_on(async {
        listener.set_nonblocking(true)?;
        let listener = TcpListener::from_std(listener)?;
        let demo = opening.demo;
        let app = App::open(opening).await?;
        if !demo {
            app.log_requests();
        }
        ready(listener.local_addr()?, app.begin_address().await);
        let (tell, told) = oneshot::channel::<()>();
        let patience = async move {
            told_to_stop().await;
            // Nobody listens any more only if the server has ended by itself.
            let _ = tell.send(());
            tokio::time::sleep(PATIENCE).await;
        };
        let stop = async {
            let _ = told.await;
        };
        let shared = Shared::clone(&app);
        let result = tokio::select! {
            result = serve_until(app, listener, stop) => result,
            () = patience => Ok(()),
        };
        shared.store.close().await;
        Ok(result?)
    })
}

/// Answers for a base on a listener until `stop` is over.
///
/// # Errors
/// If the socket fails.
pub async fn serve_until(
    app: Shared,
    listener: TcpListener,
    stop: impl Future<Output = ()> + Send + 'static,
) -> io::Result<()> {
    axum::serve(listener, router(app)).with_graceful_shutdown(stop).await
}

/// Waits for Ctrl-C or, where there is such a thing, SIGTERM. A signal that can't be listened to never comes.
async fn told_to_stop() {
    let interrupt = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    tokio::select! {
        () = interrupt => {}
        () = terminate() => {}
    }
}

#[cfg(unix)]
async fn terminate() {
    use tokio::signal::unix::{SignalKind, signal};
    match signal(SignalKind::terminate()) {
        Ok(mut signal) => {
            signal.recv().await;
        }
        Err(_) => std::future::pending().await,
    }
}

#[cfg(not(unix))]
async fn terminate() {
    std::future::pending().await
}
