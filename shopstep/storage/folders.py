"""Where files live: the platform's own folders for data and settings. platformdirs loads late."""

from __future__ import annotations

from pathlib import Path

APP = "shopstep"


def data_folder() -> Path:
    """Sessions and the keeper's own builds live here; not made until something is kept."""
    from platformdirs import user_data_path

    return user_data_path(APP, appauthor=False)


def settings_file() -> Path:
    """The settings file; it need not exist."""
    from platformdirs import user_config_path

    return user_config_path(APP, appauthor=False) / "settings.toml"


def cache_folder() -> Path:
    """What can be worked out again; safe to delete."""
    from platformdirs import user_cache_path

    return user_cache_path(APP, appauthor=False)


def sessions_folder() -> Path:
    """Where session files are made where no ``--session`` says otherwise."""
    return data_folder() / "sessions"


def measurements_file() -> Path:
    """The kept measurements of all shops; it need not exist."""
    return data_folder() / "measurements.db"


def rack_file() -> Path:
    """The keeper's rack; it need not exist."""
    return data_folder() / "rack.db"


def own_builds_folder() -> Path:
    """The keeper's own builds; they come before those that ship."""
    return data_folder() / "builds"


def voice_words_file() -> Path:
    """The person's own phrases; it need not exist."""
    return data_folder() / "voice-words.txt"


def voice_model_file() -> Path:
    """What was learned of the person's voice; it need not exist."""
    return data_folder() / "voice-model.npz"


def tablet_folder() -> Path:
    """Paired tablets, and the certificates for them."""
    return data_folder() / "tablet"


def shipped_folder(name: str) -> Path:
    """``builds`` or ``assets`` as shipped: inside the package, or at the project's top."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_data" / name
    return installed if installed.is_dir() else package.parent / name
