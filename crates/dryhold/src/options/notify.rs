//! How a person is called who does not look at the screen.

use clap::Args;
use notify::{
    Authorities, Broker, Fingerprint, Means, Password, Trust, authorities_in, password_in,
};

use crate::outcome::Failure;

/// How a person is called.
#[derive(Debug, Default, Args)]
pub(crate) struct NotifyArguments {
    /// Rings the terminal's bell when the target is reached, at a stall, at the end of a
    /// hold, and when gauge or disk need a hand
    #[arg(long)]
    pub(crate) bell: bool,
    /// Shows a notification on the desktop for each of these
    #[arg(long)]
    pub(crate) notify: bool,
    /// Runs this command for each of these, through the system's shell, with one JSON
    /// object on its standard input; at most 15 s each, with what it starts in the
    /// background, and never longer than the recording. The text of an event is in the
    /// object only: never part of the command
    #[arg(long, value_name = "COMMAND")]
    pub(crate) on_event: Option<String>,
    /// Tells an MQTT broker in the shop how the run stands: mqtt://HOST:PORT/TOPIC, or
    /// mqtt://USER@HOST:PORT/TOPIC. Nothing is encrypted; with mqtts:// everything is, and
    /// the broker has to show a certificate that this computer trusts
    #[cfg_attr(
        not(feature = "tls"),
        doc = "(mqtts:// not in this build, which has no TLS)"
    )]
    #[arg(long, value_name = "ADDRESS")]
    pub(crate) mqtt: Option<Broker>,
    /// A file whose first line is the password of that user
    #[arg(long, value_name = "FILE", requires = "mqtt", value_parser = password_in)]
    pub(crate) mqtt_password_file: Option<Password>,
    /// For mqtts://: trusts the one certificate with this SHA-256 fingerprint, and no
    /// other; its name and its dates are not looked at. Read the fingerprint at the broker
    /// itself: openssl x509 -noout -fingerprint -sha256 -in FILE
    #[cfg_attr(not(feature = "tls"), doc = "(not in this build, which has no TLS)")]
    #[arg(
        long,
        value_name = "SHA256",
        requires = "mqtt",
        conflicts_with = "mqtt_ca_file"
    )]
    pub(crate) mqtt_fingerprint: Option<Fingerprint>,
    /// For mqtts://: trusts certificates that the authority in this file (PEM) has signed
    /// for the broker's name or address, in place of those that this computer trusts
    #[cfg_attr(not(feature = "tls"), doc = "(not in this build, which has no TLS)")]
    #[arg(long, value_name = "FILE", requires = "mqtt", value_parser = authorities_in)]
    pub(crate) mqtt_ca_file: Option<Authorities>,
}

impl NotifyArguments {
    /// Looks at what goes together, before anything is recorded.
    pub(crate) fn check(&self) -> Result<(), Failure> {
        let asks_trust = self.mqtt_fingerprint.is_some() || self.mqtt_ca_file.is_some();
        match &self.mqtt {
            Some(broker) if asks_trust && !broker.encrypted() => Err(Failure::usage(
                "--mqtt-fingerprint and --mqtt-ca-file go with an address that begins with \
                 mqtts://, for nothing is encrypted with mqtt://",
            )),
            _ => Ok(()),
        }
    }

    /// By what a person is called.
    pub(crate) fn means(&self) -> Means {
        let (one, signed) = (&self.mqtt_fingerprint, &self.mqtt_ca_file);
        Means {
            bell: self.bell,
            desktop: self.notify,
            command: self.on_event.clone(),
            broker: self.mqtt.clone().map(|broker| {
                let trust = Trust::of(one.as_ref(), signed.as_ref());
                (broker, self.mqtt_password_file.clone(), trust)
            }),
        }
    }
}
