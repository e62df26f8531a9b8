"""Which processor the model runs on, and loading it only when there is something to recognise."""

from __future__ import annotations

import os
from pathlib import Path

from ..errors import ModelDamaged
from ..options import Options
from .recogniser import Recogniser
from .weights import Model, ready

_MOST_THREADS = 16  # small models do not get faster with more


class Loader:
    """A model that is loaded at the first call of `recogniser`, and kept."""

    def __init__(self, model: Model, options: Options) -> None:
        self.model = model
        self.notices: list[str] = []
        self._threads = options.threads or _cores()
        self._device = options.device
        self._folder: Path | None = None
        self._loaded: Recogniser | None = None
        if model.folder is not None:
            self.notices.append(
                f"There are no published sums for the speech model {model.name}; it was used"
                " unchecked."
            )
        if self._device == "cuda":
            self._try_cuda()

    @property
    def identity(self) -> dict[str, str]:
        """What of model and device decides the words."""
        return {"model": self.model.identity, "device": self._device}

    def check(self) -> None:
        """Find damage before any work: sums where they are published, else by loading.

        Raises as `recogniser` does.
        """
        if self.model.folder is not None:
            self.recogniser()
        else:
            self._whole()

    def recogniser(self) -> Recogniser:
        """The loaded model. Raises ModelDamaged, ModelMissing or OutputRefused."""
        if self._loaded is None:
            self._loaded = Recogniser(self._whole(), self._device, self._threads)
        return self._loaded

    def _whole(self) -> Path:
        if self._folder is None:
            self._folder = ready(self.model)
        return self._folder

    def _try_cuda(self) -> None:
        """Load on the CUDA device now, or fall back and say so: the device is part of every key."""
        import ctranslate2

        if ctranslate2.get_cuda_device_count() == 0:
            self._fall_back("no CUDA device was found")
            return
        try:
            self.recogniser().try_out()
        except (ModelDamaged, RuntimeError):
            self._fall_back("the CUDA device or its libraries (cuBLAS, cuDNN) do not work")

    def _fall_back(self, reason: str) -> None:
        self._loaded = None
        self._device = "cpu"
        notice = f"The processor is used and not CUDA: {reason}."
        self.notices.append(notice)


def _cores() -> int:
    """Processor cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return min(len(os.sched_getaffinity(0)), _MOST_THREADS)
    return min(os.cpu_count() or 1, _MOST_THREADS)
