# Copies the page's sources out of the tree, fetches what the lock file names, and builds. SOURCE, STAGE, OUT, NODE, NPM,
# IS_REQUIRED: without that a failure is a warning, the next build tries again, and no old page stays behind.
function(give_up what output)
  file(REMOVE ${OUT} ${STAGE}/built ${STAGE}/fetched)
  if(IS_REQUIRED)
    message(FATAL_ERROR "${what}\n${output}")
  endif()
  message(WARNING "${what}; --report will not be there\n${output}")
endfunction()

file(REMOVE_RECURSE ${STAGE}/src ${STAGE}/schema ${STAGE}/tools)
foreach(part src schema tools package.json package-lock.json .npmrc tsconfig.json)
  file(COPY ${SOURCE}/${part} DESTINATION ${STAGE})
endforeach()

file(SHA256 ${STAGE}/package-lock.json wanted)
set(fetched "")
if(EXISTS ${STAGE}/fetched)
  file(READ ${STAGE}/fetched fetched)
endif()
if(NOT fetched STREQUAL wanted)
  # None of the libraries needs a script of its own to run at installation.
  execute_process(COMMAND ${NPM} ci --ignore-scripts --no-audit --no-fund --fetch-retries=1
    WORKING_DIRECTORY ${STAGE} RESULT_VARIABLE status OUTPUT_VARIABLE output ERROR_VARIABLE output)
  if(NOT status EQUAL 0)
    give_up("The page's libraries could not be fetched" "${output}")
    return()
  endif()
  file(WRITE ${STAGE}/fetched ${wanted})
endif()

execute_process(COMMAND ${NODE} tools/build.mjs ${OUT}
  WORKING_DIRECTORY ${STAGE} RESULT_VARIABLE status OUTPUT_VARIABLE output ERROR_VARIABLE output)
if(NOT status EQUAL 0)
  give_up("The page could not be built" "${output}")
  return()
endif()
file(TOUCH ${STAGE}/built)
