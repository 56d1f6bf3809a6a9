//! USB sockets, as the system shows them: folders of our own with the layout of
//! `/sys` and `/dev`, and pseudo-terminals as the devices.
//!
//! Layout from memory of Linux: `class/tty/NAME/device` leads to the port of the
//! adapter; `bInterfaceNumber` lies above it, and above that the adapter with
//! `idVendor`, `idProduct` and, if it has one, `serial`. The folder of the
//! adapter is named after its sockets.

use std::{
    fs,
    os::unix::fs::symlink,
    path::{Path, PathBuf},
    sync::Arc,
};

use sensor_reader::{
    Dialect, GaugeStream, Options, PortSettings,
    transport::{SerialTransport, SystemFiles},
};

use crate::gauge::Gauge;

pub(crate) struct Bus {
    root: tempfile::TempDir,
}

/// What is plugged in where.
#[derive(Clone, Copy)]
pub(crate) struct Adapter<'a> {
    pub(crate) name: &'a str,
    pub(crate) socket: &'a str,
    pub(crate) serial: Option<&'a str>,
    /// Which of the adapter's ports.
    pub(crate) port: u8,
}

impl Bus {
    pub(crate) fn new() -> Self {
        let root = tempfile::tempdir().unwrap();
        for folder in ["dev/serial/by-id", "dev/serial/by-path", "sys/class/tty"] {
            fs::create_dir_all(root.path().join(folder)).unwrap();
        }
        Self { root }
    }

    pub(crate) fn path(&self, name: &str) -> PathBuf {
        self.root.path().join("dev").join(name)
    }

    fn adapter_folder(&self, socket: &str) -> PathBuf {
        self.root.path().join("sys/devices/usb1").join(socket)
    }

    pub(crate) fn plug(&self, adapter: Adapter<'_>, gauge: &Gauge) {
        self.describe(adapter, &self.root.path().join("sys/class/tty"));
        symlink(gauge.path(), self.path(adapter.name)).unwrap();
    }

    /// What the system says about an adapter, listed in `class`.
    fn describe(&self, adapter: Adapter<'_>, class: &Path) {
        let folder = self.adapter_folder(adapter.socket);
        let interface = folder.join(format!("{}:1.0", adapter.socket));
        let port = interface.join(adapter.name);
        fs::create_dir_all(&port).unwrap();
        let write = |path: &Path, name: &str, text: &str| {
            fs::write(path.join(name), format!("{text}\n")).unwrap();
        };
        write(&folder, "idVendor", "1209");
        write(&folder, "idProduct", "0abc");
        write(&folder, "product", "Invented adapter");
        if let Some(serial) = adapter.serial {
            write(&folder, "serial", serial);
        }
        write(&interface, "bInterfaceNumber", "00");
        write(&port, "port_number", &adapter.port.to_string());
        // with its link, as one step
        let unlisted = self.root.path().join("unlisted");
        fs::create_dir(&unlisted).unwrap();
        symlink(&port, unlisted.join("device")).unwrap();
        fs::rename(unlisted, class.join(adapter.name)).unwrap();
    }

    /// Plugs several in so that nobody sees only some of them.
    pub(crate) fn plug_together(&self, adapters: &[(Adapter<'_>, &Gauge)]) {
        let class = self.root.path().join("sys/class/tty");
        let aside = self.root.path().join("aside");
        fs::rename(&class, &aside).unwrap();
        for (adapter, gauge) in adapters {
            self.describe(*adapter, &aside);
            symlink(gauge.path(), self.path(adapter.name)).unwrap();
        }
        fs::rename(&aside, &class).unwrap();
    }

    /// A second name for a device.
    pub(crate) fn link(&self, link: &str, name: &str) {
        let link = self.path(link);
        let _ = fs::remove_file(&link);
        symlink(format!("../../{name}"), link).unwrap();
    }

    pub(crate) fn unplug(&self, adapter: Adapter<'_>, gauge: Gauge) {
        self.forget(adapter);
        drop(gauge);
    }

    /// Unplugs it without its driver noticing: no end, no error, only silence.
    pub(crate) fn forget(&self, adapter: Adapter<'_>) {
        fs::remove_file(self.path(adapter.name)).unwrap();
        fs::remove_dir_all(self.root.path().join("sys/class/tty").join(adapter.name)).unwrap();
        fs::remove_dir_all(self.adapter_folder(adapter.socket)).unwrap();
    }

    /// Opens a device of this bus with the plainest dialect.
    pub(crate) async fn open(&self, name: &str, options: Options) -> GaugeStream {
        let transport = SerialTransport::new(&self.path(name), PortSettings::default())
            .with_system(SystemFiles::under(self.root.path()));
        let dialect = Dialect::builtin("number-unit-line").unwrap();
        GaugeStream::over(Arc::new(transport), &dialect, options)
            .await
            .unwrap()
    }
}
