// The program `stillwall`: everything happens in run(), which is a library function and tested.

#include "app/kernels.h"
#include "app/run.h"

#include <iostream>

#include <unistd.h>

int main(int argc, char** argv)
{
    stillwall::app::restart_with_fast_kernels(argc, argv);
    return stillwall::app::run(argc, argv, {std::cout, std::cerr, isatty(STDERR_FILENO) != 0});
}
