"""What a learner sees round an open notebook; its own settings hide what the course does not need."""

from __future__ import annotations

from typing import Any

HIDDEN = (
    "@jupyter-notebook/notebook-extension:trusted",
    "@jupyterlab/mainmenu-extension:recents",
    "@jupyterlab/cell-toolbar-extension:plugin",  # it moves and deletes the course's own text
)
"""Parts of the notebooks that are left out: plugins by their names."""

MENUS = ("view", "settings", "help", "tabs")
"""Menus that are left out as a whole."""

COMMANDS = {
    "file": (
        "filebrowser:open-path",
        "filebrowser:open-url",
        "filemenu:create-console",
        "notebook:open-tree-tab",
        "docmanager:save-as",
        "docmanager:save-all",
        "docmanager:reload",
        "docmanager:restore-checkpoint",
        "docmanager:rename",
        "docmanager:duplicate",
        "application:rename",
        "application:duplicate",
        "notebook:trust",
        "filemenu:close-and-cleanup",
    ),
    "edit": (
        "editmenu:clear-current",
        "editmenu:clear-all",
        "editmenu:go-to-line",
        "notebook:cut-cell",
        "notebook:copy-cell",
        "notebook:paste-cell-below",
        "notebook:paste-cell-above",
        "notebook:paste-and-replace-cell",
        "notebook:delete-cell",
        "notebook:select-all",
        "notebook:deselect-all",
        "notebook:move-cell-up",
        "notebook:move-cell-down",
        "notebook:split-cell-at-cursor",
        "notebook:merge-cells",
        "notebook:merge-cell-above",
        "notebook:merge-cell-below",
        "notebook:edit-metadata",
        "documentsearch:startWithReplace",
    ),
    "run": (
        "notebook:run-cell-and-insert-below",
        "notebook:run-cell",
        "notebook:run-in-console",
        "notebook:run-all-below",
        "notebook:render-all-markdown",
    ),
    "kernel": (
        "kernelmenu:restart-and-clear",
        "kernelmenu:reconnect-to-kernel",
        "kernelmenu:shutdown",
        "kernelmenu:shutdownAll",
        "kernelmenu:change",
        "notebook:restart-and-run-to-selected",
    ),
}
"""Entries that are left out of the other menus."""

SUBMENUS = {
    "file": ("jp-mainmenu-file-new", "jp-mainmenu-file-notebookexport"),
    "run": ("jp-runmenu-change-cell-type",),
}
TOOLS = ("insert", "cut", "copy", "paste", "restart", "cellType", "kernelName")
"""Buttons over a notebook that are left out; on a telephone the ring at the right has room then."""


def what_a_learner_sees() -> dict[str, Any]:
    """The settings, by the names of the plugins that read them."""
    menus: list[dict[str, Any]] = [{"id": f"jp-mainmenu-{name}", "disabled": True} for name in MENUS]
    for name, commands in COMMANDS.items():
        items: list[dict[str, Any]] = [{"command": command, "disabled": True} for command in commands]
        for submenu in SUBMENUS.get(name, ()):
            items.append({"type": "submenu", "submenu": {"id": submenu}, "disabled": True})
        menus.append({"id": f"jp-mainmenu-{name}", "items": items})
    run_all = {"name": "run-all", "command": "notebook:run-all-cells", "label": "Run all", "rank": 29}
    return {
        # the course's own bar has the lesson's name and the way back
        "@jupyter-notebook/application-extension:top": {"visible": "no"},
        "@jupyterlab/mainmenu-extension:plugin": {"menus": menus},
        "@jupyterlab/notebook-extension:panel": {
            "toolbar": [run_all, *({"name": name, "disabled": True} for name in TOOLS)]
        },
    }
