#pragma once
// The project's materials, read once; tests run in the project's folder.

#include "app/input/material_file.h"

inline const stillwall::app::MaterialLibrary& library()
{
    static const stillwall::app::MaterialLibrary loaded = stillwall::app::load_materials("materials");
    return loaded;
}
