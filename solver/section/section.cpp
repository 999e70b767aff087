#include "solver/section/section.h"
